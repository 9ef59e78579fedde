"""What a list leaves open, and what was filled in without asking."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from sunsched.day.model import Size
from sunsched.folder.shot_list.columns import COLUMNS
from sunsched.folder.text import bands

NOTHING = frozenset(
    {"-", "--", "–", "—", "n/a", "na", "none", "nil", "/", "keine", "aucun", "no one", "."}
)
UNSURE = frozenset({"?", "??", "tbd", "tbc", "tba", "???", "offen", "à définir", "por definir"})
EVERYONE = frozenset({"all", "everyone", "everybody", "alle", "tous", "todos", "tutti", "all cast"})


def says_nothing(column: str, text: str) -> bool:
    """Tell a cell, in small letters, that is as good as blank; a description says what it says."""
    nothing = NOTHING | bands.ANYWHERE if column == "look" else NOTHING
    return text in nothing and column in COLUMNS and column != "description"


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """What a list leaves open: the shots it is about, and how an answer reads.

    The same `column` and `value` are asked once, whatever the number of rows.
    """

    column: str
    value: str
    shots: tuple[str, ...]
    text: str
    expected: str
    hint: str = ""

    @property
    def key(self) -> tuple[str, str]:
        """What an answer is kept by."""
        return self.column, self.value


@dataclass(slots=True, kw_only=True)
class Desk:
    """What is gathered while rows are settled."""

    answers: Mapping[tuple[str, str], str]
    own: Mapping[str, Size]
    asked: dict[tuple[str, str], Question] = field(default_factory=dict)
    filled: dict[str, list[str]] = field(default_factory=dict)
    sized: int = 0  # shots without a size that an answer was given for

    def say(self, what: str, shot_id: str) -> None:
        self.filled.setdefault(what, []).append(shot_id)

    def ask(self, question: Question) -> str | None:
        """Give the answer to a question; None, with the question kept, where there is none."""
        if question.key in self.answers:
            return self.answers[question.key]
        known = self.asked.get(question.key)
        shots = (*(known.shots if known else ()), *question.shots)
        self.asked[question.key] = Question(
            column=question.column,
            value=question.value,
            shots=shots,
            text=question.text,
            expected=question.expected,
            hint=question.hint,
        )
        return None
