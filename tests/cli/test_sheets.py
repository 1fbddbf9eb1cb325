"""`pacer sheet`: files that another library reads, and refusals in a sentence."""

from __future__ import annotations

import shutil
import subprocess
import sys
from xml.etree import ElementTree

import pytest
from pypdf import PdfReader

from pacer.cli.commands import main
from pacer.shippedfiles import PLANS, SQUADS

pytestmark = pytest.mark.real_clock
PLAN, SQUAD = str(PLANS / "long-axis-rotation-3.txt"), str(SQUADS / "thursday.toml")


@pytest.fixture(autouse=True)
def home(tmp_path, monkeypatch):
    monkeypatch.setenv("PACER_HOME", str(tmp_path / "kept"))
    monkeypatch.chdir(tmp_path)


def test_the_coachs_sheet(tmp_path, capsys):
    assert main(["sheet", PLAN, "--squad", SQUAD]) == 0
    assert capsys.readouterr().out == "long-axis-rotation-3-coach.pdf\n"
    reader = PdfReader(tmp_path / "long-axis-rotation-3-coach.pdf")
    assert reader.metadata.title == "Long-axis rotation 3: the coach's sheet"
    assert reader.root_object["/Lang"] == "en-GB"
    text = "\n".join(page.extract_text() for page in reader.pages)
    for wanted in ("Long-axis rotation 3", "4 x 50 as 25 kick / 25 back, rest 0:15", "58:07", "Checks"):
        assert wanted in text


def test_lanes_and_register_are_files_of_their_own(tmp_path, capsys):
    assert main(["sheet", PLAN, "--squad", SQUAD, "--lanes", "--register", "--letter", "--folder", "paper"]) == 0
    files = sorted(path.name for path in (tmp_path / "paper").iterdir())
    assert files == [
        "brackenmere-thursday-register.pdf",
        "long-axis-rotation-3-coach.pdf",
        "long-axis-rotation-3-lanes.pdf",
    ]
    lanes, register = (PdfReader(tmp_path / "paper" / files[at]) for at in (2, 0))
    assert {(float(page.mediabox.width), float(page.mediabox.height)) for page in lanes.pages} == {(612.0, 792.0)}
    text = "\n".join(page.extract_text() for page in lanes.pages)
    assert all(f"LANE {number}" in text for number in range(1, 7)) and "Orla" not in text
    assert "Orla" in register.pages[0].extract_text()


def test_the_strip_as_a_picture_too(tmp_path, capsys):
    assert main(["sheet", PLAN, "--squad", SQUAD, "--svg"]) == 0
    assert capsys.readouterr().out.splitlines()[1] == "long-axis-rotation-3-strip.svg"
    tree = ElementTree.parse(tmp_path / "long-axis-rotation-3-strip.svg").getroot()
    assert tree.tag == "{http://www.w3.org/2000/svg}svg" and len(list(tree)) > 200


@pytest.mark.skipif(shutil.which("pdftoppm") is None, reason="poppler is not installed")
def test_another_reader_draws_it_without_complaint(tmp_path):
    assert main(["sheet", PLAN, "--squad", SQUAD]) == 0
    done = subprocess.run(
        ["pdftoppm", "-r", "40", "-png", "long-axis-rotation-3-coach.pdf", "page"], capture_output=True, text=True
    )
    assert (done.returncode, done.stderr) == (0, "")
    assert len(list(tmp_path.glob("page-*.png"))) == 2


@pytest.mark.parametrize(
    ("arguments", "code", "said"),
    [
        ([], 2, "name a plan, or a session with --session N"),
        ([PLAN, "--session", "1"], 2, "name a plan, or a session"),
        (["missing.txt"], 2, "missing.txt can't be opened"),
        (["--session", "7"], 1, "pacer sheet: "),
        ([PLAN, "--squad", SQUAD, "--folder", "file/below"], 2, "could not be written"),
    ],
)
def test_refusals(tmp_path, capsys, arguments, code, said):
    (tmp_path / "file").write_text("")
    assert main(["sheet", *arguments]) == code
    assert said in capsys.readouterr().err


def test_a_plan_that_cannot_run_gets_no_sheet(tmp_path, capsys):
    (tmp_path / "plan.txt").write_text("pool: 25 m\nMain set\n  4 x 100 on B 1:40 / C 1:50\n")
    assert main(["sheet", "plan.txt", "--squad", SQUAD]) == 1
    assert "lanes 1, 2 have no value" in capsys.readouterr().err and not list(tmp_path.glob("*.pdf"))


def test_no_other_command_waits_for_the_libraries():
    told = "import sys, pacer.cli.commands; print(sorted({'fontTools', 'fpdf', 'PIL'} & set(sys.modules)))"
    done = subprocess.run([sys.executable, "-c", told], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


def test_sheets_of_a_long_title_are_files_of_their_own(tmp_path, capsys):
    """The end of the name says which sheet it is; the title is cut before it."""
    plan = tmp_path / "long.txt"
    text = (PLANS / "long-axis-rotation-3.txt").read_text(encoding="utf-8")
    plan.write_text(text.replace("title: Long", "title: " + "Very long " * 12 + "Long"), "utf-8")
    assert main(["sheet", str(plan), "--lanes", "--folder", str(tmp_path / "out")]) == 0
    made = {path.stem.rpartition("-")[2] for path in (tmp_path / "out").iterdir()}
    assert made == {"coach", "lanes"}
