"""A short typed program, checked by mypy --strict; not run."""

import datetime

import numpy as np
from numpy.typing import NDArray

import libseal


def warmest(path: str) -> float:
    weather: libseal.Weather = libseal.read_weather(path, gaps="interpolate")
    surface: NDArray[np.float64] = libseal.surface_temperature(weather, tilt=0, azimuth=180, absorptance=0.35)
    return float(np.nanmax(surface))


def due_first(coach: libseal.Coach, day: datetime.date) -> str:
    def tell(progress: libseal.Progress) -> None:
        print(progress.stage, progress.fraction)

    looks = [libseal.Finding(coach=coach.id, joint=coach.joints[0].id, layer="cap_bead", sign="clean_look", date=day)]
    forecast = libseal.forecast(coach, day, years=5, findings=looks, progress=tell, stop=libseal.StopToken())
    row = int(np.argmin(forecast.due_50))
    return forecast.joint[row]


def read(path: str) -> libseal.Weather | None:
    try:
        return libseal.read_weather(path)
    except libseal.FileError as error:
        print(error.problems[0].file)
        return None
    except libseal.ValueError as error:
        print([problem.line for problem in error.problems])
        return None


def page(path: str, coach: libseal.Coach) -> None:
    with open(path, "w", encoding="utf-8") as file:
        file.write(libseal.draw_coach(coach, units="us"))


life = libseal.Weibull(scale=4.0, shape=2.75)
chance: NDArray[np.float64] | float = life.survival([1.0, 2.0])
