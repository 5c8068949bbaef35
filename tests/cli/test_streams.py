"""What becomes of the output where nothing takes it: a full disk, a closed stream, a reader that has gone."""

import os
import shlex
import subprocess
import sys

import pytest

from woodmove.cli.main import main

pytestmark = pytest.mark.skipif(not os.path.exists("/dev/full"), reason="no /dev/full here")
WOODMOVE = f"{shlex.quote(sys.executable)} -m woodmove"
LINES = [
    "emc --temp 70F --rh 50", "emc --temp 70F --rh 50 --json", "emc --json", "list species --csv", "emc -h",
    "--help", "--version", "--no-plugins --version",
]  # fmt: skip


@pytest.fixture
def shell(clean_environment, tmp_path):
    """Runs a line in a shell, in an empty folder."""

    def run(line: str, **more: str) -> tuple[int, str, str]:
        done = subprocess.run(
            ["sh", "-c", line], capture_output=True, text=True, cwd=tmp_path, check=False,
            env=clean_environment | more,
        )  # fmt: skip
        return done.returncode, done.stdout, done.stderr

    return run


@pytest.mark.parametrize("line", LINES)
@pytest.mark.parametrize("unbuffered", ["", "1"])
def test_a_full_disk_is_told_in_a_line(shell, line, unbuffered):
    code, _, err = shell(f"{WOODMOVE} {line} >/dev/full", PYTHONUNBUFFERED=unbuffered)
    assert code == 1
    assert err.endswith("woodmove: cannot write the output: no space left on device.\n")
    assert "Traceback" not in err
    assert "inside woodmove" not in err
    assert "Exception ignored" not in err


@pytest.mark.parametrize("line", LINES)
def test_a_closed_output_is_told_in_a_line(shell, line):
    code, _, err = shell(f"{WOODMOVE} {line} >&-")
    assert (code, err) == (1, "woodmove: cannot write the output: standard output is closed.\n")


def test_what_cannot_be_acknowledged_is_not_done(shell, tmp_path):
    code, _, _ = shell(f"{WOODMOVE} readings add log.csv A mc=12 >&-")
    assert code == 1
    assert not list(tmp_path.glob("*.csv"))


def test_a_reader_that_has_seen_enough_is_no_fault(shell):
    code, out, err = shell(f"{WOODMOVE} list species | head -n 1")
    assert (code, out.count("\n"), err) == (0, 1, "")


def test_a_closed_input_holds_no_answers(shell):
    code, _, err = shell(f"{WOODMOVE} new job.toml <&-")
    assert code == 1
    assert "The answers ended before the questions did." in err
    code, _, err = shell(f"{WOODMOVE} emc - <&-")
    assert code == 1
    assert "standard input is not a table" in err


def test_with_errors_closed_the_output_stays_one_document(shell):
    code, out, err = shell(f"{WOODMOVE} emc --json 2>&-")
    assert (code, err) == (2, "")
    assert out.startswith("{\n")
    assert out.endswith("}\n")


def test_products_of_matrices_take_one_thread(monkeypatch):
    """Set before NumPy is imported, and not against what a user has set."""
    monkeypatch.setattr(sys, "argv", ["woodmove", "--version"])
    for told, expected in ((None, "1"), ("3", "3")):
        monkeypatch.setenv("OPENBLAS_NUM_THREADS", told or "")
        if told is None:
            monkeypatch.delenv("OPENBLAS_NUM_THREADS")
        assert main() == 0
        assert os.environ["OPENBLAS_NUM_THREADS"] == expected
