"""The command on a day folder: with frames, at a time, drawn, and with what it cannot do."""

import json
from dataclasses import replace
from datetime import UTC, datetime

import pytest
from desk.conftest import copied

import sunsched

FRAMES = """
[[frame]]
name = "12 by"
kind = "overhead"
side_ft = 12
above_m = 2.5
cloth = "half grid"

[[rig]]
name = "12x12 silk"
frames = ["12 by"]
"""


@pytest.fixture
def folder(tmp_path):
    """Give a copy of a demo day whose silk is a frame, the only one."""
    found = copied("last-lamp", tmp_path)
    settings = found / "day.toml"
    own = settings.read_text(encoding="utf-8").partition("# In the doorway")[0]
    settings.write_text(own + FRAMES, encoding="utf-8")
    return found


@pytest.fixture
def saved(folder):
    """Give the same with a plan for planned minutes, which is found quickly."""
    plan = sunsched.make_plan(sunsched.read_day(folder), limit_s=1.0)
    sunsched.save_plan(folder, plan, made_at=datetime(2027, 6, 1, tzinfo=UTC))
    return folder


def test_a_shot_of_the_saved_plan(run, saved):
    """Its own lines, at its planned time; as JSON with figures."""
    told = run("gaffer", saved, "3")
    assert (told.code, told.err) == (0, "")
    assert "12 by: overhead 3.7 m square" in told.out
    assert "nothing here is a go-ahead" in told.out
    record = json.loads(run("gaffer", saved, "3", "--json").out)
    planned = sunsched.read_revision(saved, 1).timetable
    start = next(one.roll_start for one in planned.rolls if one.shot_id == "3")
    (setup,) = record["setups"]
    assert datetime.fromisoformat(setup["roll_start"]) == start


def test_without_a_plan(run, folder):
    """At a time, a spot and a look; a compass point is a look too."""
    asked = ("--at", "08:20", "--spot", "yard", "--look", "NNE", "--rig", "12x12 silk")
    told = run("gaffer", folder, *asked)
    assert told.code == 0
    assert "yard  08:20–08:40  look 22°" in told.out
    assert "12 by: overhead" in told.out


def test_from_above(run, saved, tmp_path):
    """A page for every setup in a .pdf; a .png holds one."""
    assert run("gaffer", saved, "--picture", tmp_path / "all.pdf").code == 0
    assert (tmp_path / "all.pdf").read_bytes().startswith(b"%PDF")
    assert run("gaffer", saved, "3", "--picture", tmp_path / "one.png").code == 0
    refused = run("gaffer", saved, "--picture", tmp_path / "many.png")
    assert refused.code == 2
    assert "name one with SHOT" in refused.err


@pytest.mark.parametrize(
    ("words", "code", "told"),
    [
        (("99",), 1, "no shot `99`"),
        (("--at", "08:20"), 2, "say with --look which way the lens points"),
        (("--at", "08:20", "--look", "NNX", "--spot", "yard"), 2, "--look"),
        (("--at", "08:20", "--look", "30"), 2, "say where with --spot: "),
        (("--at", "08:20", "--look", "30", "--spot", "yrad"), 2, "did you mean `yard`?"),
        (("--at", "08:20", "--look", "30", "--spot", "yard", "--rig", "x"), 2, "no such rig"),
        (("3", "--at", "08:20", "--look", "30"), 2, "it goes without a SHOT"),
        (("--spot", "yard"), 2, "it goes with --at"),
        (("--at", "8:99", "--look", "30", "--spot", "yard"), 1, "8:99"),
    ],
)
def test_wrong_words(run, saved, words, code, told):
    """Each told with what was expected."""
    found = run("gaffer", saved, *words)
    assert found.code == code
    assert told in found.err


@pytest.mark.parametrize(
    ("wrong", "told"),
    [
        (('kind = "overhead"', 'kind = "overheed"'), "did you mean `overhead`?"),
        (("side_ft = 12\n", ""), "no size"),
        (("side_ft = 12", "side_ft = 12\nside_m = 3"), "beside `side_ft`"),
        (('cloth = "half grid"', 'cloth = "half grit"'), "no such cloth"),
        (('"half grid"', '"half grid + single nett"'), "did you mean `single net`?"),
        (('ground = "sand"', 'ground = "sandy"'), "or the share that it throws back, such as 0.3"),
        (('ground = "sand"', "ground = 1.4"), "spot.ground: out of range"),
        (('frames = ["12 by"]', 'frames = ["12 bye"]'), "no such frame"),
        (('kind = "overhead"\n', ""), "frame.kind: missing (expected overhead, bounce or black)"),
        (('name = "12 by"\n', ""), "frame.name: missing"),
        (("side_ft = 12", 'side_ft = "wide"'), "frame.side_ft: not a number"),
        (("[[frame]]\n", "[frame]\n"), "frame: not a list of tables"),
        (
            ("[[frame]]\n", '[weather]\nhaze = "haizy"\n\n[[frame]]\n'),
            "weather.haze: not a haze: `haizy` (expected very clear, clear, hazy or thick)",
        ),
    ],
)
def test_frames_at_fault(run, folder, wrong, told):
    """By file and line, with the nearest known word."""
    settings = folder / "day.toml"
    settings.write_text(settings.read_text(encoding="utf-8").replace(*wrong), encoding="utf-8")
    found = run("gaffer", folder)
    assert found.code == 1
    assert "day.toml:" in found.err
    assert told in found.err


def test_cloths_of_the_folder(run, saved):
    """Win over those of the package; a wrong one is told by its line."""
    own = saved / "cloths.csv"
    own.write_text("name,stops\nhalf grid,1\nour bleach,1.3\n", encoding="utf-8")
    assert "half grid takes 1 stop" in run("gaffer", saved, "3").out
    own.write_text("name,stops\nhalf grid,much\nhalf  GRID,2\n", encoding="utf-8")
    told = run("gaffer", saved, "3").err
    assert "cloths.csv:2" in told


def test_a_stack_of_cloths_and_a_ground_of_ones_own(folder):
    """Cloths one behind the other take what they take together; a share is a ground too."""
    settings = folder / "day.toml"
    text = settings.read_text(encoding="utf-8").replace('"half grid"', '"half grid + Single Net"')
    settings.write_text(text.replace('ground = "sand"', "ground = 0.3"), encoding="utf-8")
    day = sunsched.read_day(folder)
    assert (day.frames[0].cloth, day.frames[0].takes_stops) == ("half grid + single net", 2.5)
    assert (day.spot("road").ground.share, day.spot("yard").ground.share) == (0.3, 0.12)


def test_the_order_knows_what_a_frame_covers(folder):
    """At high sun the frame covers a close-up and makes up; at a low one, far off, it does not."""
    day = sunsched.read_day(folder)
    own = sunsched.fit_day(day).shots["3"]
    track = sunsched.fit_day(day).track
    heights = track.apparent_elevation_deg
    assert (own.control[heights > 45] == day.control(own.shot)).all()
    assert (own.control[heights < 10] == 0).all()
    bare = replace(day, frames=(), rigs=())
    before = sunsched.fit_day(bare).shots["3"]
    assert (own.fit[heights < 10] <= before.fit[heights < 10]).all()
    assert (own.fit[heights > 60] >= before.fit[heights > 60]).all()
