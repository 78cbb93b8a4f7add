"""Holidays against other libraries: a second opinion."""

import datetime

import pytest

import libseal


def test_easter_is_that_of_dateutil():
    easter = pytest.importorskip("dateutil.easter")
    for year in range(1583, 4100):
        assert libseal.easter(year) == easter.easter(year)


def test_federal_holidays_are_those_of_pandas():
    calendar = pytest.importorskip("pandas.tseries.holiday")
    rules = libseal.holiday_rules("us_federal")
    for year in range(2022, 2060):
        # pandas lists a year by observed days, but may miss a New Year that is observed in December: ask two years.
        days = calendar.USFederalHolidayCalendar().holidays(f"{year}-01-01", f"{year + 1}-06-30")
        theirs = {day.date() for day in days if day.year == year}
        ours = {holiday.day for holiday in libseal.holidays(rules, year)}
        assert ours == theirs, year


def test_business_days_are_those_of_numpy():
    numpy = pytest.importorskip("numpy")
    rules = libseal.holiday_rules("us_federal")
    off = [holiday.day for year in range(2026, 2030) for holiday in libseal.holidays(rules, year)]
    start = datetime.date(2026, 6, 1)
    for days in range(0, 900, 13):
        end = start + datetime.timedelta(days=days)
        assert libseal.business_days(start, end, rules) == numpy.busday_count(start, end, holidays=off)
        shifted = numpy.busday_offset(numpy.datetime64(end), 0, roll="forward", holidays=off).item()
        assert libseal.next_business_day(end, rules) == shifted
