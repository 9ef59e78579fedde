"""Slips that people make, each told with what mends it."""

from __future__ import annotations

import pytest

from sunsched.errors import MAX_TOLD, Fault, FolderError
from sunsched.folder.log.log import note_events, read_log
from sunsched.folder.read import read_day
from sunsched.whatif.orders.order import read_order

SHOTS = "id,description,size,look,shoot_min\n1,The pans at dawn,wide,N,30\n"


@pytest.mark.parametrize("written", ["36,2", "36,2 # north"])
def test_a_decimal_comma_in_the_settings_is_told(written, minimal_day, make_folder, faults):
    """TOML has no such thing, and its own complaint is of something else."""
    (told,) = faults(make_folder(minimal_day.replace("36.2", written)))
    assert told == (
        f"day.toml:6: not valid TOML: a decimal comma: `latitude_deg = {written}`\n"
        "  hint: write `36.2`"
    )


def test_a_decimal_comma_in_quotes_is_told(minimal_day, make_folder, faults):
    """What it should have been is written out."""
    (told,) = faults(make_folder(minimal_day.replace("36.2", '"36,2"')))
    assert told.endswith("hint: write `36.2`")


@pytest.mark.parametrize(
    ("table", "line"),
    [
        ("[wheather]\nx = 1\n", 13),
        ("[wheather.x]\ny = 1\n", 13),
        ('["whe\\u0061ther"]\nx = 1\n', 13),
        ("[[wheather]]\nx = 1\n", 13),
    ],
)
def test_an_unknown_table_has_its_line(table, line, minimal_day, make_folder, faults):
    """However its name is written."""
    assert faults(make_folder(minimal_day + table)) == [
        f"day.toml:{line}, wheather: unknown table\n  hint: did you mean `weather`?"
    ]


@pytest.mark.parametrize("name", ["sky.csv", "day.toml", "shots.csv"])
def test_a_link_to_nothing_is_told_as_one(name, make_folder, faults):
    """The file has a name, so its own name is no help."""
    folder = make_folder()
    (folder / name).unlink(missing_ok=True)
    (folder / name).symlink_to("gone")
    assert f"{name}: a link to a file that is not there" in faults(folder)


def test_an_order_that_is_a_link_to_nothing_is_told(make_folder):
    """Not asked whether its own name was meant."""
    folder = make_folder()
    (folder / "monday.csv").symlink_to("gone")
    with pytest.raises(FolderError, match=r"monday\.csv: a link to a file that is not there"):
        read_order(folder / "monday.csv", folder, read_day(folder))


def test_three_decimals_are_read_where_a_thousand_is_out_of_range(make_folder):
    """`1,250` is a weight of one and a quarter: no weight is over 100."""
    shots = SHOTS.replace("shoot_min", "weight,shoot_min").replace("N,30", 'N,"1,250",30')
    assert read_day(make_folder(shots=shots)).shots[0].weight == 1.25


def test_an_id_is_no_figure_below_zero(make_folder, faults):
    """On the command line it would be an option."""
    (told,) = faults(make_folder(shots=SHOTS.replace("\n1,", "\n-1,")))
    assert "not a shot id: `-1`" in told
    assert told.endswith("hint: no hyphen may stand first: write `1`")


def noted(folder, **cells):
    """Note one event."""
    return note_events(folder, read_day(folder), lambda _: [cells])[1][0]


def test_an_end_past_midnight_is_on_the_next_day(make_folder):
    """A cloud from ten at night until half past midnight has an end after its beginning."""
    event = noted(make_folder(), event="cloud", value="0.5", at="22:00", until="00:30")
    assert f"{event.until:%Y-%m-%d %H:%M}" == "2027-06-09 22:30"  # UTC


def test_an_end_too_early_is_told_with_what_may_stand_there(make_folder):
    """Two limits that agree with each other, also where `--from` is wrong too."""
    folder = make_folder()
    with pytest.raises(FolderError) as refused:
        noted(folder, event="cloud", value="0.5", at="10:00", **{"from": "09:00"}, until="08:00")
    expected = [fault.expected for fault in refused.value.faults]
    assert expected == ["from 10:00 to 2027-06-10 01:00", "from 10:01 to 2027-06-10 01:00"]


def test_a_date_put_right_after_logging_has_a_way_out(minimal_day, make_folder):
    """The log of the other date is kept under another name."""
    folder = make_folder()
    noted(folder, event="rolled", subject="1", at="09:00")
    (folder / "day.toml").write_text(minimal_day.replace("06-09", "06-10"), encoding="utf-8")
    with pytest.raises(FolderError, match=r"call `log\.csv` something else, such as `log-before"):
        read_log(folder, read_day(folder))
    (folder / "log.csv").rename(folder / "log-before.csv")
    assert read_log(folder, read_day(folder)).events == ()


def test_a_hundred_faults_are_told_and_the_rest_counted():
    """Nobody mends more before reading the day again."""
    faults = tuple(
        Fault(file="shots.csv", problem=f"odd {number}", line=2) for number in range(1234)
    )
    lines = str(FolderError(faults)).splitlines()
    assert len(lines) == MAX_TOLD + 1
    assert lines[-1] == "and 1,134 more"
