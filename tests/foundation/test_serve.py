"""The program as a maker starts and stops it."""

from __future__ import annotations

import contextlib
import http.client
import os
import shutil
import signal
import socket
import sqlite3
import stat
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from nibsmith.shop.serving.browser import has_screen


@pytest.mark.parametrize("how", [signal.SIGINT, signal.SIGTERM])
def test_it_stops_at_once_with_exit_code_zero_and_leaves_nothing_running(serve, how: signal.Signals) -> None:
    serving = serve()
    assert serving.get("/")[0] == 200

    code, seconds = serving.stop(how)

    assert code == 0
    assert seconds < 2
    assert serving.group_is_empty()


def test_it_stops_at_once_while_browsers_hold_connections_open(serve) -> None:
    serving = serve()
    silent = socket.create_connection(("127.0.0.1", serving.port))
    half_sent = socket.create_connection(("127.0.0.1", serving.port))
    half_sent.sendall(b"GET / HTTP/1.1\r\nHost: 127.0.0.1\r\n")
    assert serving.get("/")[0] == 200  # neither of them keeps another page waiting

    code, seconds = serving.stop(signal.SIGINT)

    assert code == 0
    assert seconds < 2
    silent.close()
    half_sent.close()


def test_a_second_ctrl_c_spoils_nothing(serve) -> None:
    serving = serve()
    serving.process.send_signal(signal.SIGINT)

    code, _ = serving.stop(signal.SIGINT)

    assert code == 0
    assert serving.process.stdout.read() == b""


def test_it_says_where_it_is_and_where_the_records_are(serve, workshop) -> None:
    printed = serve().printed.decode()

    assert "http://127.0.0.1:" in printed
    assert str(workshop.home) in printed
    assert "Ctrl-C" in printed


def test_only_this_computer_can_reach_it(serve) -> None:
    serving = serve()
    others = {info[4][0] for info in socket.getaddrinfo(socket.gethostname(), None, socket.AF_INET)} - {
        "127.0.0.1"
    }

    for address in {*others, "127.0.0.2"}:
        with pytest.raises(OSError), socket.create_connection((address, serving.port), timeout=2):  # noqa: PT011
            pass


def test_it_refuses_the_network_while_there_are_no_accounts(workshop) -> None:
    done = workshop.run("serve", "--lan")

    assert done.returncode == 2
    assert done.stderr.count("\n") == 1
    assert "no accounts" in done.stderr
    assert not workshop.home.exists()


def test_the_next_free_port_is_taken_where_the_usual_one_is_not(serve) -> None:
    first = serve("--no-browser")
    second = serve("--no-browser")

    assert second.port != first.port
    assert second.get("/")[0] == 200
    assert first.get("/")[0] == 200


def test_a_chosen_port_that_is_taken_is_refused_in_one_line(serve, workshop) -> None:
    serving = serve()

    done = workshop.run("serve", "--no-browser", "--port", str(serving.port))

    assert done.returncode == 2
    assert done.stdout == ""
    assert done.stderr.count("\n") == 1
    assert str(serving.port) in done.stderr


@pytest.mark.parametrize("port", ["-1", "65536", "80.5", "http", "٣"])
def test_what_is_no_port_is_refused(workshop, port: str) -> None:
    done = workshop.run("serve", f"--port={port}")

    assert done.returncode == 2
    assert "is no port" in done.stderr
    assert "Traceback" not in done.stderr


def test_the_first_start_makes_a_private_folder_and_key(serve, workshop) -> None:
    serve()

    assert stat.S_IMODE(workshop.home.stat().st_mode) == 0o700
    assert stat.S_IMODE((workshop.home / "secret-key").stat().st_mode) == 0o600
    assert len((workshop.home / "secret-key").read_text()) > 60


def test_the_second_start_changes_nothing(serve, workshop) -> None:
    serve().stop(signal.SIGINT)

    def state() -> dict[str, int]:
        return {
            str(file): file.stat().st_mtime_ns
            for file in workshop.home.rglob("*")
            if "sqlite" not in file.name
        }

    before = state()
    serve().stop(signal.SIGINT)

    assert state() == before


def test_pages_and_files_come_compressed_and_for_keeps(serve) -> None:
    serving = serve()
    page = serving.get("/")[1].decode()
    sheet = page.split('rel="stylesheet" href="')[1].split('"')[0]

    connection = http.client.HTTPConnection("127.0.0.1", serving.port, timeout=10)
    connection.request("GET", sheet, headers={"Accept-Encoding": "gzip"})
    answer = connection.getresponse()

    assert answer.status == 200
    assert answer.headers["Content-Encoding"] == "gzip"
    assert "immutable" in answer.headers["Cache-Control"]
    connection.close()


def test_a_foreign_host_is_refused_by_the_running_server(serve) -> None:
    assert serve().get("/", Host="evil.example")[0] == 400


def huge(megabytes: int) -> Iterator[bytes]:
    """A body that nobody holds in memory."""
    for _ in range(megabytes):
        yield b"x" * 1_000_000


def test_a_huge_body_is_heard_out_and_refused_in_the_look_of_the_pages(serve) -> None:
    """As a browser does: all of it is sent before the answer is read, and the connection serves on."""
    serving = serve()
    connection = http.client.HTTPConnection("127.0.0.1", serving.port, timeout=60)
    headers = {"Content-Length": "200000000", "Referer": f"http://127.0.0.1:{serving.port}/roasts/new/"}
    connection.request("POST", "/roasts/new/", body=huge(200), headers=headers)
    answer = connection.getresponse()
    page = answer.read().decode()

    assert answer.status == 413
    assert "Too large" in page
    assert "16 MB" in page
    assert 'class="brand"' in page
    assert 'href="/roasts/new/"' in page
    assert "default-src 'none'" in answer.headers["Content-Security-Policy"]
    connection.request("GET", "/")
    assert connection.getresponse().status == 200
    connection.close()


def test_who_asks_before_sending_too_much_is_told_at_once(serve) -> None:
    serving = serve()
    with socket.create_connection(("127.0.0.1", serving.port), timeout=20) as asking:
        head = (
            "POST / HTTP/1.1\r\nHost: 127.0.0.1\r\nContent-Length: 200000000\r\nExpect: 100-continue\r\n\r\n"
        )
        asking.sendall(head.encode())
        said = b"".join(iter(lambda: asking.recv(65536), b""))

    assert said.startswith(b"HTTP/1.1 413")
    assert b"16 MB" in said


def test_a_body_of_unknown_length_is_cut_off_at_the_limit(serve) -> None:
    serving = serve()
    connection = http.client.HTTPConnection("127.0.0.1", serving.port, timeout=60)
    with contextlib.suppress(ConnectionError):
        connection.request(
            "POST", "/", body=huge(80), encode_chunked=True, headers={"Transfer-Encoding": "chunked"}
        )
    connection.close()

    assert serving.get("/")[0] == 200


def test_records_of_a_newer_program_are_refused_and_left_alone(workshop, made_records: Path) -> None:
    workshop.home.mkdir()
    shutil.copyfile(made_records, workshop.records)
    with sqlite3.connect(workshop.records) as connection:
        connection.execute(
            "INSERT INTO django_migrations (app, name, applied) VALUES ('common', '9999_later', '2099-01-01')"
        )
    connection.close()
    before = workshop.records.read_bytes()

    done = workshop.run("serve", "--no-browser", "--port", "0")

    assert done.returncode == 2
    assert "newer Nibsmith" in done.stderr
    assert done.stderr.count("\n") == 1
    assert workshop.records.read_bytes() == before


def test_older_records_are_copied_before_they_are_brought_up_to_date(
    serve, workshop, older_records: Path
) -> None:
    workshop.home.mkdir()
    shutil.copyfile(older_records, workshop.records)

    printed = serve().printed.decode()

    copies = list((workshop.home / "backups").iterdir())
    assert len(copies) == 1
    assert str(copies[0]) in printed
    with sqlite3.connect(workshop.records) as connection:
        assert connection.execute("SELECT count(*) FROM common_changeentry").fetchone() == (1,)
    connection.close()


def test_damaged_records_are_said_to_be_damaged_in_one_line(workshop) -> None:
    workshop.home.mkdir()
    workshop.records.write_text("no database at all " * 1000)

    done = workshop.run("serve", "--no-browser", "--port", "0")

    assert done.returncode == 2
    assert done.stderr.startswith("nibsmith: The records cannot be read: ")
    assert "nibsmith restore" in done.stderr
    assert done.stderr.count("\n") == 1


def test_a_database_server_that_does_not_answer_is_said_in_one_line_without_the_password(workshop) -> None:
    address = f"postgresql://ida:geheim@/shop?host={workshop.home}"

    done = workshop.run("serve", "--no-browser", "--port", "0", NIBSMITH_DATABASE_URL=address)

    assert done.returncode == 2
    assert done.stderr.startswith("nibsmith: The records cannot be reached: ")
    assert "geheim" not in done.stderr
    assert done.stderr.count("\n") == 1


def test_a_data_folder_that_cannot_be_made_is_said_in_one_line(workshop) -> None:
    workshop.home.write_text("a file is in the way")

    done = workshop.run("serve", "--no-browser", "--port", "0")

    assert done.returncode == 2
    assert str(workshop.home) in done.stderr
    assert done.stderr.count("\n") == 1


def test_an_empty_start_loads_no_demo(serve, workshop) -> None:
    serve("--empty", "--no-browser", "--port", "0").stop(signal.SIGINT)

    with sqlite3.connect(workshop.records) as connection:
        assert connection.execute("SELECT count(*) FROM recipes_recipe").fetchone() == (0,)
    connection.close()


def test_the_first_start_loads_the_demo_and_prints_its_sheet(serve, workshop) -> None:
    printed = serve().printed.decode()

    assert "Weigh" in printed
    with sqlite3.connect(workshop.records) as connection:
        assert connection.execute("SELECT count(*) FROM recipes_recipe").fetchone() > (0,)
    connection.close()
    assert "Weigh" not in serve().printed.decode()


@pytest.mark.parametrize(
    ("environment", "platform", "expected"),
    [
        ({"DISPLAY": ":0"}, "linux", True),
        ({"WAYLAND_DISPLAY": "wayland-0"}, "linux", True),
        ({}, "linux", False),
        ({"DISPLAY": ""}, "linux", False),
        ({"DISPLAY": ":0", "CI": "true"}, "linux", False),
        ({}, "darwin", True),
        ({}, "win32", True),
        ({"CI": "1"}, "darwin", False),
    ],
)
def test_a_browser_is_opened_only_where_a_person_sits(
    environment: dict, platform: str, expected: bool
) -> None:
    assert has_screen(environment, platform) is expected


def test_a_page_that_takes_too_long_does_not_hold_up_the_end(tmp_path: Path) -> None:
    """The server alone, with a page that sleeps far longer than a maker would wait."""
    import subprocess
    import sys

    code = (
        "import time\n"
        "from nibsmith.shop.serving.port import listen\n"
        "from nibsmith.shop.serving.server import serve, stopping_quietly\n"
        "def slow(environ, start):\n"
        "    time.sleep(60)\n"
        "with stopping_quietly():\n"
        "    taken = listen(0)\n"
        "    print(taken.getsockname()[1], flush=True)\n"
        "    serve(slow, taken)\n"
    )
    with subprocess.Popen(
        [sys.executable, "-c", code], stdout=subprocess.PIPE, env={**os.environ}
    ) as process:
        port = int(process.stdout.readline())
        with socket.create_connection(("127.0.0.1", port)) as waiting:
            waiting.sendall(b"GET / HTTP/1.1\r\nHost: 127.0.0.1\r\n\r\n")
            time.sleep(0.3)  # until the page is being made
            begun = time.monotonic()
            process.send_signal(signal.SIGINT)
            code_of_exit = process.wait(timeout=30)

    assert code_of_exit == 0
    assert time.monotonic() - begun < 2
