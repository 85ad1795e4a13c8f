"""Who may be shown: both consents of a minor, with a day, not withdrawn (common practice, no source)."""

import pytest

from analysis.values.conditions import AgeGroup
from analysis.values.consent import Agreement, Consent, why_not_shared
from analysis.values.face_cover import FaceCover, FacePlace

BOTH = Agreement(athlete=True, guardian=True, given="2026-03-01")
ALONE = Agreement(athlete=True, given="2026-03-01")


@pytest.mark.parametrize(
    ("sharing", "age", "missing"),
    [
        (BOTH, AgeGroup.YOUTH, ""),
        (BOTH, None, ""),
        (ALONE, AgeGroup.ADULT, ""),
        (ALONE, AgeGroup.YOUTH, "guardian"),
        (ALONE, AgeGroup.CHILD, "guardian"),
        (ALONE, None, "guardian"),
        (Agreement(guardian=True, given="2026-03-01"), AgeGroup.CHILD, "the athlete's"),
        (Agreement(athlete=True, guardian=True), AgeGroup.CHILD, "day"),
        (Agreement(True, True, "2026-03-01", "2026-04-01"), AgeGroup.ADULT, "withdrawn on 2026-04-01"),
        (Agreement(), AgeGroup.ADULT, "No consent"),
    ],
)
def test_a_film_is_shared_only_with_the_consent_to_it(sharing, age, missing):
    said = why_not_shared(Consent("a", filming=BOTH, sharing=sharing), age)
    assert missing in said
    assert bool(said) == bool(missing)


def test_consent_to_be_filmed_is_none_to_be_shown():
    assert why_not_shared(Consent("a", filming=BOTH), AgeGroup.ADULT)
    assert why_not_shared(None, AgeGroup.ADULT)


def test_a_face_has_one_place_a_frame_in_order():
    cover = (
        FaceCover("face", "film").with_place(FacePlace(9, 1, 2, 3, 4)).with_place(FacePlace(5, 0, 0, 0, 0))
    )
    assert [place.frame for place in cover.places] == [5, 9]
    moved = cover.with_place(FacePlace(9, 8, 8, 3, 4))
    assert moved.on(9).u == 8
    assert moved.on(5).gone
    assert moved.on(8) is None
    assert moved.without(9).places == cover.places[:1]
