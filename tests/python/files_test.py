"""Files are written whole or not at all: full disks, closed folders, links, limits, signals."""

import contextlib
import os
import pathlib
import resource
import signal
import stat
import subprocess
import sys
import tempfile
import textwrap
import time

import pytest
import small_calendar

import libseal

OLD = "old content\n"
KINDS = ["ics", "csv", "json"]
BIG = small_calendar.small_calendar(flags=[f"flag {i} " + 60 * "x" for i in range(4000)])


def write(kind, path, calendar=None):
    getattr(calendar or small_calendar.small_calendar(), f"write_{kind}")(path)


def content(folder):
    return {path.name: path.read_bytes() for path in folder.iterdir() if path.is_file()}


@pytest.fixture(params=KINDS)
def kind(request):
    return request.param


def test_a_missing_folder_a_folder_and_a_file_in_between(kind, tmp_path):
    (tmp_path / "file").write_text(OLD)
    (tmp_path / "folder").mkdir()
    for bad in (tmp_path / "absent" / "year", tmp_path / "folder", tmp_path / "file" / "year", tmp_path / ("n" * 256)):
        with pytest.raises(OSError, match=bad.name[:20]):
            write(kind, bad)
    for bad in ("", str(tmp_path / "folder") + "/"):
        with pytest.raises(OSError):
            write(kind, bad)
    assert sorted(os.listdir(tmp_path)) == ["file", "folder"] and content(tmp_path) == {"file": OLD.encode()}


def test_a_path_with_nul_is_not_cut_there(kind, tmp_path):
    with pytest.raises((OSError, ValueError, TypeError)):
        write(kind, str(tmp_path / "year") + "\0.txt")
    assert os.listdir(tmp_path) == []


def test_a_device_that_is_full_stays_a_device(kind):
    with pytest.raises(OSError, match="space"):
        write(kind, "/dev/full")
    assert stat.S_ISCHR(os.stat("/dev/full").st_mode)
    write(kind, "/dev/null")
    assert stat.S_ISCHR(os.stat("/dev/null").st_mode)


def test_a_pipe_gets_the_whole_text(kind, tmp_path):
    pipe = tmp_path / "pipe"
    os.mkfifo(pipe)
    with (tmp_path / "got").open("wb") as got, subprocess.Popen(["cat", str(pipe)], stdout=got):
        write(kind, pipe, BIG)
    assert (tmp_path / "got").read_bytes() == getattr(BIG, f"{kind}_text")().encode()
    assert stat.S_ISFIFO(os.stat(pipe).st_mode)


def test_links_modes_and_old_files(kind, tmp_path):
    real = tmp_path / "real"
    real.write_text(OLD)
    real.chmod(0o640)
    (tmp_path / "link").symlink_to("real")
    (tmp_path / "chain").symlink_to(tmp_path / "link")
    write(kind, tmp_path / "chain")
    assert (tmp_path / "chain").is_symlink() and (tmp_path / "link").is_symlink()
    assert real.read_bytes() == getattr(small_calendar.small_calendar(), f"{kind}_text")().encode()
    assert stat.S_IMODE(real.stat().st_mode) == 0o640
    assert sorted(os.listdir(tmp_path)) == ["chain", "link", "real"]
    mask = os.umask(0o027)
    try:
        write(kind, tmp_path / "new")
    finally:
        os.umask(mask)
    assert stat.S_IMODE((tmp_path / "new").stat().st_mode) == 0o640


def run(code, *arguments):
    """Python code in a process of its own."""
    start = "import sys; sys.path[:0] = " + repr(sys.path) + "\nimport small_calendar\n"
    return subprocess.run([sys.executable, "-c", start + textwrap.dedent(code), *map(str, arguments)], capture_output=True, text=True,
                          check=False, timeout=120)


def test_a_limit_on_the_size_of_files(kind, tmp_path):
    """The write stops half way: a short write, then an error."""
    path = tmp_path / "year"
    path.write_text(OLD)
    done = run("""
        import resource
        resource.setrlimit(resource.RLIMIT_FSIZE, (100, 100))
        try:
            getattr(small_calendar.small_calendar(), "write_" + sys.argv[2])(sys.argv[1])
        except OSError as error:
            print("refused", error)
        """, path, kind)
    assert done.stdout.startswith("refused") and "large" in done.stdout, done.stderr
    assert content(tmp_path) == {"year": OLD.encode()}


@contextlib.contextmanager
def mounted(folder, *options):
    done = subprocess.run(["mount", *options, str(folder)], capture_output=True, text=True, check=False)
    if done.returncode != 0:
        pytest.skip(f"cannot mount here: {done.stderr.strip()}")
    try:
        yield
    finally:
        subprocess.run(["umount", str(folder)], check=True)


def test_a_full_disk(kind, tmp_path):
    disk = tmp_path / "disk"
    disk.mkdir()
    with mounted(disk, "-t", "tmpfs", "-o", "size=64k", "tmpfs"):
        (disk / "year").write_text(OLD)
        with pytest.raises(OSError, match="space"):
            write(kind, disk / "year", BIG)
        assert content(disk) == {"year": OLD.encode()}
        write(kind, disk / "year")
        assert len(content(disk)) == 1


def test_a_folder_that_may_only_be_read(kind, tmp_path):
    """Binding: the mode of a folder stops nobody who is root, a file system that may only be read does."""
    folder = tmp_path / "folder"
    folder.mkdir()
    (folder / "year").write_text(OLD)
    with mounted(folder, "--bind", str(folder)):
        done = subprocess.run(["mount", "-o", "remount,bind,ro", str(folder)], capture_output=True, check=False)
        if done.returncode != 0:
            pytest.skip("cannot make a mount read-only here")
        for name in ("year", "new"):
            with pytest.raises(OSError, match="[Rr]ead-only"):
                write(kind, folder / name)
        assert content(folder) == {"year": OLD.encode()}


def test_a_folder_and_a_file_without_permission(kind):
    """As somebody who is not root: root is stopped by no mode."""
    with tempfile.TemporaryDirectory() as name:
        folder = pathlib.Path(name)
        closed, kept = folder / "closed", folder / "kept"
        closed.mkdir()
        (closed / "year").write_text(OLD)
        kept.write_text(OLD)
        kept.chmod(0o444)
        folder.chmod(0o777)
        closed.chmod(0o555)
        check_refused(kind, closed, kept)


def check_refused(kind, closed, kept):
    done = run("""
        import os
        calendar = small_calendar.small_calendar()
        if os.geteuid() == 0:
            os.setgid(65534)
            os.setuid(65534)
        for path in sys.argv[2:]:
            try:
                getattr(calendar, "write_" + sys.argv[1])(path)
                print("written")
            except OSError as error:
                print("refused", error)
        """, kind, closed / "year", closed / "new", kept)
    lines = [line for line in done.stdout.splitlines() if line.startswith(("refused", "written"))]
    assert len(lines) == 3 and all(line.startswith("refused") and "ermission" in line for line in lines), done.stdout + done.stderr
    assert content(closed) == {"year": OLD.encode()} and kept.read_text() == OLD


def test_a_process_killed_at_any_moment_leaves_a_whole_file(tmp_path):
    path = tmp_path / "year.json"
    texts = [calendar.json_text().encode() for calendar in (small_calendar.small_calendar(), BIG)]
    path.write_bytes(texts[0])
    code = textwrap.dedent("""
        calendars = [small_calendar.small_calendar(), small_calendar.small_calendar(flags=[f"flag {i} " + 60 * "x" for i in range(4000)])]
        print("ready", flush=True)
        while True:
            for calendar in calendars:
                calendar.write_json(sys.argv[1])
        """)
    start = "import sys; sys.path[:0] = " + repr(sys.path) + "\nimport small_calendar\n"
    for turn in range(8):
        with subprocess.Popen([sys.executable, "-c", start + code, str(path)], stdout=subprocess.PIPE, text=True) as process:
            assert process.stdout.readline() == "ready\n"
            time.sleep(0.005 + 0.007 * turn)
            process.kill()
        assert path.read_bytes() in texts
    # What the killed ones may have left is passed over, and nobody else's file is taken for it.
    BIG.write_json(path)
    assert path.read_bytes() == texts[1]
    assert all(name.startswith("year.json") for name in os.listdir(tmp_path))


def test_signals_do_not_cut_a_write(tmp_path):
    path = tmp_path / "year.json"
    seen = []
    before = signal.signal(signal.SIGALRM, lambda *_: seen.append(1))
    signal.setitimer(signal.ITIMER_REAL, 0.0005, 0.0005)
    try:
        for _ in range(20):
            BIG.write_json(path)
    finally:
        signal.setitimer(signal.ITIMER_REAL, 0)
        signal.signal(signal.SIGALRM, before)
    assert seen and content(tmp_path) == {"year.json": BIG.json_text().encode()}


def test_two_writers_of_one_file_leave_one_whole_file(tmp_path):
    path = tmp_path / "year.json"
    code = """
        calendar = small_calendar.small_calendar(why=sys.argv[2] * 5000)
        for _ in range(50):
            calendar.write_json(sys.argv[1])
        """
    start = "import sys; sys.path[:0] = " + repr(sys.path) + "\nimport small_calendar\n"
    both = [subprocess.Popen([sys.executable, "-c", start + textwrap.dedent(code), str(path), word]) for word in "ab"]
    assert [process.wait(120) for process in both] == [0, 0]
    assert libseal.read_calendar(path).visits[0].why in ("a" * 5000, "b" * 5000)
    assert os.listdir(tmp_path) == ["year.json"]


def test_too_many_open_files_is_an_error_of_the_file(tmp_path):
    (tmp_path / "year").write_text(OLD)
    limit = resource.getrlimit(resource.RLIMIT_NOFILE)
    held = []
    try:
        resource.setrlimit(resource.RLIMIT_NOFILE, (min(256, limit[0]), limit[1]))
        with contextlib.suppress(OSError):
            while True:
                held.append(os.open("/dev/null", os.O_RDONLY))
        with pytest.raises(OSError, match="open files"):
            write("ics", tmp_path / "year")
    finally:
        for one in held:
            os.close(one)
        resource.setrlimit(resource.RLIMIT_NOFILE, limit)
    assert content(tmp_path) == {"year": OLD.encode()}
