"""`--picture` and `--paper` of every command that draws: what is drawn, and on what paper."""

import json
import shutil

import pytest

SHOTS = """\
id,description,size,look,shoot_min,sun,cast
1,The pans at dawn,wide,E,20,back,Ana
2,Ana counts the heaps,medium,E,15,back,Ana
3,A gull,insert,N,10,,
"""
WIDTHS = {"a4": 1753, "letter": 1650, "phone": 1080}  # dots, of sheets on their long edge


@pytest.fixture
def day(make_folder, minimal_day, run):
    """Give a day of three shots with a saved plan for planned minutes."""
    folder = make_folder(minimal_day + '\n[[cast]]\nname = "Ana"\n', SHOTS)
    assert run("plan", folder, "--for", "planned", "--save").code == 0
    (folder / "ad.csv").write_text("id,time\n2,08:00\n1,09:00\n3,10:00\n", encoding="utf-8")
    return folder


def drawn(run, tmp_path, *words, ending=".svg"):
    """Run a command with a picture; gives what was written and what was printed."""
    file = tmp_path / f"picture{ending}"
    ran = run(*words, "--picture", file)
    assert ran.code == 0, ran.err
    return file.read_bytes(), ran.out


def test_every_picture_of_an_order_says_what_it_is(run, day, tmp_path):
    """Each command draws its own, with the sentence that its text and its record begin with."""
    ad = day / "ad.csv"
    compare = ("compare", day, "1", ad)
    picture, out = drawn(run, tmp_path, *compare)
    headline = json.loads(run(*compare, "--json").out)["headline"]
    assert headline.startswith("with the second ")
    assert headline in " ".join(out.split())
    assert headline.encode() in picture
    assert b"Two orders" in picture
    for words, title in (
        (("plan", day, "--revision", "1", "--people"), b"Who waits when"),
        (("plan", day, "--for", "planned", "--alternatives", "1"), b"The best plan and the next"),
        (("windows", day), b"When each shot"),
        (("windows", day, "--shot", "2"), b"keeps "),  # the roll of the newest plan, in words
        (("sun", day), b"sun in the middle of its roll"),
    ):
        assert title in drawn(run, tmp_path, *words)[0], words


def test_stress_begins_with_the_weakest(run, day, tmp_path):
    """The headline stands in the picture, the text and the record; the weakest row is the first."""
    words = ("stress", day, "--days", "200")
    picture, out = drawn(run, tmp_path, *words)
    headline = json.loads(run(*words, "--json").out)["headline"]
    assert headline in " ".join(out.split())
    assert "weakest" in headline
    assert headline[:20].encode() in picture


def test_a_day_under_way_is_drawn(run, day, tmp_path):
    """`log` draws planned and made, `replan` the rest over the plan; a .pdf has the day behind."""
    for event in ("rolled", "done"):
        at = "08:00" if event == "rolled" else "08:25"
        assert run("log", day, event, "1", "--at", at).code == 0
    assert b"Planned and made" in drawn(run, tmp_path, "log", day)[0]
    again = ("replan", day, "--at", "08:30", "--for", "planned")
    picture, out = drawn(run, tmp_path, *again)
    assert b"The rest of the day against revision 1" in picture
    headline = json.loads(run(*again, "--json").out)["headline"]
    assert headline in " ".join(out.split())
    pages = drawn(run, tmp_path, *again, ending=".pdf")[0]
    assert pages.count(b"/Type /Page\n") + pages.count(b"/Type /Page ") == 2


@pytest.mark.parametrize("paper", WIDTHS)
def test_paper_is_that_of_the_picture(run, day, tmp_path, paper):
    """A .png is as wide as its paper: 150 dots an inch of a sheet, 270 of a phone's four."""
    for words in (
        ("plan", day, "--revision", "1"),
        ("plan", day, "--revision", "1", "--people"),
        ("compare", day, "1", day / "ad.csv"),
        ("windows", day),
    ):
        picture, _ = drawn(run, tmp_path, *words, "--paper", paper, ending=".png")
        assert int.from_bytes(picture[16:20], "big") == pytest.approx(WIDTHS[paper], abs=1)


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("windows", "--paper", "phone"), "--paper: it is for --picture"),
        (("stress", "--paper", "a4"), "--paper: it is for --picture"),
        (("sun", "--picture", "x.pdf", "--paper", "phone"), "--paper: a .pdf is printed on a4"),
        (("plan", "--people"), "--people: it is for the --picture of a plan alone"),
        (("log", "rolled", "1", "--picture", "x.png"), "--picture: it draws the log"),
        (("price", "--cut", "1", "--sheet", "x.pdf", "--paper", "phone"), "--paper: a sheet is"),
    ],
)
def test_wrong_use_is_told_before_anything_is_solved(run, day, words, said):
    """Exit code 2, and what the option is for."""
    command, *more = words
    ran = run(command, day, *more)
    assert ran.code == 2
    assert ran.err.startswith(said)


def test_nothing_noted_or_saved_is_no_picture(run, day, tmp_path):
    """The log is drawn once something is noted, over a plan that was saved."""
    ran = run("log", day, "--picture", tmp_path / "x.png")
    assert (ran.code, "nothing is noted yet" in ran.err) == (1, True)
    shutil.rmtree(day / "plans")
    ran = run("log", day, "--picture", tmp_path / "x.png")
    assert (ran.code, "no plan is saved" in ran.err) == (1, True)
