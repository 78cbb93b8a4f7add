"""Many packets at once, photos inside them: names stay in their folder, files are whole, nothing leaves the folder of photos."""

import errno
import os
import struct
import time
import zlib

import pytest
from html_page import HtmlPage

import libseal
from libseal.photos import Album

pytest.importorskip("jinja2")


def png(width=2, height=3):
    """A small PNG: signature, IHDR, IDAT, IEND (W3C PNG, 5.2 and 11.2)."""
    def chunk(kind, data):
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))
    rows = b"".join(b"\0" + b"\x80" * width for _ in range(height))
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", struct.pack(">IIBBBBB", width, height, 8, 0, 0, 0, 0)) + chunk(b"IDAT", zlib.compress(rows)) + chunk(b"IEND", b"")


JPEG = b"\xff\xd8\xff\xe0\x00\x04ab\xff\xc0\x00\x0b\x08\x00\x05\x00\x07\x01\x01\x11\x00\xff\xda\x00\x00\xff\xd9"  # head of a picture of 7 x 5


def write(yard, folder, **more):
    return libseal.write_packets(folder, yard.fleet, yard.forecast, yard.calendar, yard.shop, findings=yard.findings, work_done=yard.work_done, **more)


def test_one_file_a_coach_or_an_owner(yard, tmp_path):
    steps = []
    written = write(yard, tmp_path / "new" / "packets", progress=lambda done, all_: steps.append((done, all_)))
    assert [w.path.name for w in written] == ["coach-A-1.html", "coach-B-2.html", "coach-C-3.html"] and steps == [(1, 3), (2, 3), (3, 3)]
    assert all(w.size == w.path.stat().st_size for w in written)
    alone = libseal.owner_packet(yard.fleet.coaches[0], yard.forecast, yard.calendar, yard.shop, findings=yard.findings, work_done=yard.work_done)
    assert written[0].path.read_text(encoding="utf-8") == alone
    owners = write(yard, tmp_path / "owners", by="owner")
    assert [(w.owner, w.coaches) for w in owners] == [("M. N.", ("A-1", "C-3")), ("O. P.", ("B-2",))]
    with pytest.raises(ValueError, match="by"):
        write(yard, tmp_path, by="shop")


def test_any_number_of_processes_writes_the_same(yard, tmp_path):
    one, two = write(yard, tmp_path / "1", workers=1), write(yard, tmp_path / "2", workers=2)
    assert [w.path.name for w in one] == [w.path.name for w in two]
    assert [w.path.read_bytes() for w in one] == [w.path.read_bytes() for w in two]
    with pytest.raises(ValueError, match="workers"):
        write(yard, tmp_path, workers=-1)


@pytest.mark.parametrize("workers", [1, 2])
def test_what_goes_wrong_is_told_and_leaves_no_half_file(yard, tmp_path, workers, monkeypatch):
    with pytest.raises(libseal.FileError, match="file") as caught:
        (tmp_path / "file").write_text("x")
        write(yard, tmp_path / "file" / "packets", workers=workers)
    assert [(p.file, p.got) for p in caught.value.problems] == [(str(tmp_path / "file" / "packets"), os.strerror(errno.ENOTDIR))]
    stranger = libseal.Fleet(coaches=[*yard.fleet.coaches, yard.fleet.coaches[0].replace(id="stranger")])
    with pytest.raises(ValueError, match="stranger"):
        libseal.write_packets(tmp_path / "a", stranger, yard.forecast, yard.calendar, yard.shop, workers=workers)
    assert all(name.endswith(".html") for name in os.listdir(tmp_path / "a"))

    def full(*_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "replace", full)
    with pytest.raises(libseal.FileError, match="No space left") as caught:
        write(yard, tmp_path / "b", workers=workers)
    assert os.listdir(tmp_path / "b") == []
    (problem,) = caught.value.problems  # as of every error, whatever process it came from
    assert problem.got == "No space left on device" and problem.file == caught.value.filename and problem.file.startswith(str(tmp_path / "b" / "coach-"))


def test_a_process_that_fails_leaves_the_others_time_to_end_their_file(yard, tmp_path, monkeypatch):
    stranger = yard.fleet.coaches[0].replace(id="stranger")
    fleet = libseal.Fleet(coaches=[yard.fleet.coaches[0], stranger, *yard.fleet.coaches[1:]])
    into_place = os.replace

    def slowly(*names):
        time.sleep(1.0)  # the other process fails in this time
        into_place(*names)

    monkeypatch.setattr(os, "replace", slowly)
    with pytest.raises(ValueError, match="stranger"):
        libseal.write_packets(tmp_path, fleet, yard.forecast, yard.calendar, yard.shop, workers=2)
    assert os.listdir(tmp_path) == ["coach-A-1.html"]


def test_names_of_files_stay_inside_the_folder_and_apart():
    keys = ["A-1", "../../etc/passwd", "/abs", "a/b", "a\\b", "a:b", "con", "..", "", "x" * 400, "é", "\u202e", "line\nbreak", "A-2", "a-2", "a b", "a-b"]
    names = libseal.packets.packet_names(keys, "coach")
    assert names["A-1"] == "coach-A-1.html"
    assert len({name.lower() for name in names.values()}) == len(keys)
    for name in names.values():
        assert os.path.basename(name) == name and len(name) < 100 and name.isascii() and not set(name) & set("/\\:\0\n ")
    assert names == {key: libseal.packets.packet_names(keys, "coach")[key] for key in keys}


def test_photos_are_put_in_from_their_folder_alone(yard, tmp_path):
    folder = tmp_path / "photos"
    folder.mkdir()
    (folder / "vent.png").write_bytes(png())
    text = libseal.owner_packet(yard.fleet.coaches[0], yard.forecast, yard.calendar, yard.shop, findings=yard.findings, photo_folder=folder)
    page = HtmlPage(text)
    (image,) = page.names("img")
    assert image["src"].startswith("data:image/png;base64,") and (image["width"], image["height"]) == ("2", "3")
    assert "roof vent 1" in image["alt"] and "deep crack" in image["alt"]
    assert "absent.jpg (not in the folder of photos)" in page.text().replace("  ", " ")
    without = HtmlPage(libseal.owner_packet(yard.fleet.coaches[0], yard.forecast, yard.calendar, yard.shop, findings=yard.findings))
    assert not without.names("img") and "vent.png" in without.text()


def test_no_way_leads_out_of_the_folder_of_photos(tmp_path):
    folder, secret = tmp_path / "photos", tmp_path / "secret.png"
    (folder / "sub").mkdir(parents=True)
    secret.write_bytes(png())
    (folder / "in.png").write_bytes(png())
    (folder / "sub" / "deep.jpg").write_bytes(JPEG)
    (folder / "link.png").symlink_to(secret)
    (folder / "inner.png").symlink_to(folder / "in.png")
    (folder / "out").symlink_to(tmp_path)
    (folder / "loop").symlink_to(folder / "loop")
    os.mkfifo(folder / "pipe.png")
    album = Album(folder)
    for name in ("in.png", "inner.png", "sub/deep.jpg", "./in.png"):
        assert album.photo(name).uri, name
    for name in ("../secret.png", "sub/../../secret.png", "sub/../in.png", str(secret), "link.png", "out/secret.png", "loop", "pipe.png", "sub", "", ".", "..", "in.png\0",
                 "C:in.png", "..\\secret.png", "\\\\host\\in.png", "file:///etc/passwd", "absent.png", "x" * 5000):
        photo = album.photo(name)
        assert photo.uri == "" and photo.why, name


@pytest.mark.parametrize("data", [b"", b"\x89PNG\r\n\x1a\n", b"<svg xmlns='http://www.w3.org/2000/svg'/>", b"GIF89a" + b"\0" * 60, b"\xff\xd8\xff" + b"\0" * 60,
                                  b"\xff\xd8\xff\xda" + b"\0" * 60, png()[:-12], png(0, 3), png(1, 30000), b"<html>" + png(), JPEG[:8]])
def test_only_pictures_by_content_are_put_in(tmp_path, data):
    (tmp_path / "p.png").write_bytes(data)
    assert Album(tmp_path).photo("p.png").uri == ""


def test_photos_have_a_largest_size_alone_and_together(tmp_path):
    for name in "abc":
        (tmp_path / name).write_bytes(png(40, 40) + b"")
    size = len(png(40, 40))
    assert Album(tmp_path, largest=size).photo("a").uri and not Album(tmp_path, largest=size - 1).photo("a").uri
    album = Album(tmp_path, together=2 * size)
    assert [bool(album.photo(name).uri) for name in ("a", "b", "c", "a")] == [True, True, False, True]
    assert album.photo("c").why and album.used == 2 * size
    assert (Album(tmp_path).photo("a").width, Album(None).photo("a").why) == (40, "")
