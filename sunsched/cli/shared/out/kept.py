"""A decision that is kept, and what is said of it."""

from __future__ import annotations

from typing import TYPE_CHECKING

import typer

from sunsched.cli.terminal.interrupt import unbroken

if TYPE_CHECKING:
    from pathlib import Path

    from sunsched.day.demand import Decision


def refuse_unkept(folder: Path, decision: Decision) -> None:
    """Refuse at once what could not be kept once it is priced."""
    from sunsched.folder.keep import refuse_unkept as refuse

    if not decision:
        raise typer.BadParameter("it keeps a decision: name one", param_hint="--keep")
    refuse(folder, *decision)


def keep_and_say(folder: Path, decision: Decision) -> None:
    """Keep a decision, and say so."""
    from sunsched.day.decided import demand_text
    from sunsched.folder.decisions.file import DECISIONS_FILE
    from sunsched.folder.keep import keep_decision

    with unbroken():
        kept = keep_decision(folder, *decision)
        texts, gone = (
            [demand_text(kept.day, one) for one in some] for some in (decision, kept.gone)
        )
        instead = f", in the place of: {'; '.join(gone)}" if gone else ""
        typer.echo(f"kept in {DECISIONS_FILE}: {'; '.join(texts)}{instead}", err=True)
