"""What an athlete, and of a minor the guardian too, agreed to; noted before anything is handed over."""

from __future__ import annotations

from dataclasses import dataclass

from analysis.values.conditions import AgeGroup
from analysis.values.words import tr


@dataclass(frozen=True)
class Agreement:
    """To one thing. ``athlete``: agrees (a minor: assents); ``guardian``: so does the guardian.

    ``given``, ``withdrawn``: days, ISO 8601; empty where it was not. No name of a guardian is kept.
    """

    athlete: bool = False
    guardian: bool = False
    given: str = ""
    withdrawn: str = ""

    def stands(self, age: AgeGroup | None) -> bool:
        """Whether it holds for an athlete of that age; where nobody said the age, as for a minor."""
        agreed = self.athlete and (self.guardian or age is AgeGroup.ADULT)
        return agreed and bool(self.given) and not self.withdrawn


@dataclass(frozen=True)
class Consent:
    """Of one athlete, whose ``id`` it bears. ``filming`` and ``sharing`` are two things: who may be filmed
    need not want to be shown.
    """

    id: str
    filming: Agreement = Agreement()
    sharing: Agreement = Agreement()


def why_not_shared(consent: Consent | None, age: AgeGroup | None) -> str:
    """Why films of an athlete may not be shown to the public; empty where they may."""
    sharing = Agreement() if consent is None else consent.sharing
    if sharing.stands(age):
        return ""
    if sharing.withdrawn:
        return tr("The consent to share was withdrawn on {day}: no public version is written.").format(
            day=sharing.withdrawn
        )
    if not sharing.athlete:
        return tr("No consent to share is noted. Note the athlete's on the page Run first.")
    if not sharing.given:
        return tr("The consent to share has no day. Note on the page Run when it was given.")
    return tr(
        "The guardian's consent to share is not noted. It is needed unless the page Run says that the "
        "athlete is an adult."
    )
