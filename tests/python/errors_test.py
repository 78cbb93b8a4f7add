"""What goes wrong comes as an object of a class that Python programs expect."""

import builtins
import datetime
import pathlib

import pytest

import libseal

ROOT = pathlib.Path(__file__).resolve().parents[2]


def test_the_classes_belong_to_two_families():
    assert issubclass(libseal.ValueError, libseal.Error) and issubclass(libseal.ValueError, builtins.ValueError)
    assert issubclass(libseal.FileError, libseal.Error) and issubclass(libseal.FileError, OSError)
    assert issubclass(libseal.StateError, libseal.Error) and issubclass(libseal.StateError, RuntimeError)
    assert issubclass(libseal.Cancelled, libseal.StateError)
    assert issubclass(libseal.Error, Exception)


def test_a_bad_argument_is_named_with_its_value_and_range(three_hours):
    with pytest.raises(builtins.ValueError) as caught:
        libseal.plane_irradiance(three_hours, tilt=200, azimuth=180)
    assert isinstance(caught.value, libseal.ValueError)
    (problem,) = caught.value.problems
    assert problem.field == "tilt" and "180" in problem.expected and problem.got == "200"
    assert "tilt" in str(caught.value)


def test_a_missing_file_is_an_os_error_with_its_name(tmp_path):
    path = tmp_path / "absent.csv"
    with pytest.raises(OSError) as caught:
        libseal.read_weather(path)
    assert isinstance(caught.value, libseal.FileError)
    assert caught.value.filename == str(path)
    assert caught.value.problems[0].file == str(path)


@pytest.mark.parametrize("kind", [str, pathlib.Path])
def test_files_are_named_by_text_or_path(tmp_path, three_hours, kind):
    path = tmp_path / "hours.csv"
    path.write_text(libseal.weather_csv(three_hours), encoding="utf-8")
    again = libseal.read_weather(kind(path))
    assert again.ghi.tolist() == three_hours.ghi.tolist()
    assert (again.time_utc == three_hours.time_utc).all()


def test_a_reader_tells_line_and_column_of_each_problem(three_hours):
    lines = libseal.weather_csv(three_hours).splitlines()
    broken = [i for i, line in enumerate(lines) if "800" in line][0]
    lines[broken] = lines[broken].replace("800", "many", 1)
    with pytest.raises(libseal.ValueError) as caught:
        libseal.read_weather_text("\n".join(lines) + "\n", "hours.csv")
    problem = caught.value.problems[0]
    assert (problem.file, problem.line) == ("hours.csv", broken + 1)
    assert problem.column > 1 and "many" in problem.got
    assert "many" in problem.context and "Problem(" in repr(problem)


def test_an_unknown_station_name_brings_candidates():
    with pytest.raises(libseal.ValueError) as caught:
        libseal.find_station("sout bend")
    assert caught.value.problems[0].hint


def test_an_unknown_station_of_a_stay_names_the_coach():
    text = libseal.coach_json(libseal.read_fleet(ROOT / "examples" / "data" / "fleet.json").coaches[0])
    coach = libseal.read_coach_text(text.replace('"725350"', '"sout bend"'), "coach.json")
    assert coach.stays[0].station == "sout bend"
    with pytest.raises(libseal.ValueError) as caught:
        libseal.forecast(coach, datetime.date(2026, 11, 25), 5)
    problem = caught.value.problems[0]
    assert problem.field == f"{coach.id}.stays.station" and "sout bend" in problem.got and problem.hint


def test_a_range_that_holds_its_end_says_so():
    coach = libseal.read_fleet(ROOT / "examples" / "data" / "fleet.json").coaches[0]
    with pytest.raises(libseal.ValueError, match="years: expected a number above 0, up to 50, got 51"):
        libseal.forecast(coach, datetime.date(2026, 11, 25), years=51)


def test_an_unknown_keyword_or_type_is_a_type_error(three_hours):
    with pytest.raises(TypeError):
        libseal.plane_irradiance(three_hours, 0, 0, albdo=0.3)
    with pytest.raises(TypeError):
        libseal.plane_irradiance("weather", 0, 0)
    with pytest.raises(TypeError, match="no field 'jont'"):
        libseal.Finding(jont="a")
    with pytest.raises(TypeError, match="Finding.share"):
        libseal.Finding(share="half")


def test_two_coaches_of_one_id_are_refused():
    coach = libseal.travel_trailer(8.0, id="t1", model_year=2018)
    with pytest.raises(libseal.ValueError, match=r'fleet\.coaches\[1\]\.id: expected an id that no other coach has, got "t1"'):
        libseal.forecast(libseal.Fleet(coaches=[coach, coach]), datetime.date(2026, 11, 25), 5)
