"""A plan for the average day in its file: what it takes to follow its order again."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Annotated, ClassVar

from pydantic import ConfigDict, Field

from sunsched.folder.text.words import MAX_ID, MAX_NAME
from sunsched.plan.score import reference_minutes
from sunsched.saved.moment import When

# Only its form is needed here: saved plans are read without all that finds one.
if TYPE_CHECKING:
    from sunsched.average.plan import AveragePlan

STRICT = ConfigDict(strict=True)
Share = Annotated[float, Field(ge=0.0, le=1.0)]
ShotId = Annotated[str, Field(min_length=1, max_length=MAX_ID)]
Name = Annotated[str, Field(min_length=1, max_length=MAX_NAME)]
Mark = Annotated[str, Field(max_length=MAX_NAME)]
Points = Annotated[int, Field(ge=-(10**15), le=10**15)]
MOST = 500  # of anything in a list; a day has fewer shots and matches
Listed = Field(max_length=MOST)


@dataclass(frozen=True, slots=True, kw_only=True)
class SavedReference:
    """The moment at which the common sun of a match stands."""

    __pydantic_config__: ClassVar[ConfigDict] = STRICT

    match: Name
    time: When


@dataclass(frozen=True, slots=True, kw_only=True)
class SavedAverage:
    """An order for the average day.

    `order` has what was made, then all that was to come, also what the likely day does not make.
    `references` has one for each match of the rest.
    """

    __pydantic_config__: ClassVar[ConfigDict] = STRICT

    order: Annotated[tuple[ShotId, ...], Listed]
    references: Annotated[tuple[SavedReference, ...], Listed] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class SavedKept:
    """What an order keeps if every minute holds."""

    __pydantic_config__: ClassVar[ConfigDict] = STRICT

    points: Points
    light_kept: Share
    bound: Points | None = None


def average_of(found: AveragePlan) -> SavedAverage:
    """Give what is saved of a plan for the average day beside its likely times."""
    policy = found.policy
    fit = policy.rest.fit
    minutes = reference_minutes(fit)[policy.references]
    return SavedAverage(
        order=found.ids,
        references=tuple(
            SavedReference(match=name, time=fit.time_of(int(minute)))
            for name, minute in zip(policy.drifts.names, minutes, strict=True)
        ),
    )
