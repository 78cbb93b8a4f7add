"""What the reader of reached lines makes of the words of gcovr; the files are invented."""

import json

import lines


def line(number, count, *branches):
    return {"line_number": number, "count": count, "branches": [{"count": n} if n >= 0 else {"count": 0, "throw": True} for n in branches]}


# Line 1 is a template in two forms, each of which goes one way; of line 3 one way is never gone, and another only by an exception.
FILES = [{"file": "libseal/src/a.cpp", "lines": [line(1, 0, 0, 2), line(1, 3, 1, 0), line(2, 0), line(3, 1, 0, -1), line(4, 0), line(5, 9)]},
         {"file": "libseal/src/b.cpp", "lines": [line(1, 1, 4, 4)]}]


def test_forms_of_a_template_count_together_and_exceptions_do_not_count():
    told = lines.lines_of(FILES[0])
    assert told == {1: (3, [1, 2]), 2: (0, []), 3: (1, [0]), 4: (0, []), 5: (9, [])}
    assert lines.counted(told) == {"lines": (3, 5), "branches": (2, 3)}
    assert lines.missed(told) == ["  lines 2, 4", "  one way only: 3"]
    assert lines.ranges([7, 1, 3, 2]) == "1-3, 7"


def test_too_few_fail_and_what_was_missed_is_written(tmp_path, monkeypatch, capsys):
    monkeypatch.setattr(lines, "told", lambda build: FILES)
    assert lines.main(tmp_path) == 1
    assert (tmp_path / "missed.txt").read_text() == "libseal/src/a.cpp\n  lines 2, 4\n  one way only: 3\n"
    assert json.loads((tmp_path / "summary.json").read_text()) == {"lines": {"reached": 4, "all": 6}, "branches": {"reached": 4, "all": 5}}
    assert "lines: 4 of 6, 66.7 %; wanted 95 %" in capsys.readouterr().out
    monkeypatch.setattr(lines, "told", lambda build: FILES[1:])
    assert lines.main(tmp_path) == 0
