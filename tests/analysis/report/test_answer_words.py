"""A measure's verdict in words."""

from analysis.report.answer_words import judged_words
from analysis.values.answers import Judged
from analysis.values.bands import Band
from analysis.values.estimate import NoValue
from analysis.values.posture import Moment
from analysis.values.questions import Verdict


def test_what_has_no_band_says_so_and_is_not_called_not_judged():
    band = Band("trunk_deg", Moment.SET, 0, 0, 20.0, 40.0, "")
    place = "trunk_deg", Moment.SET, 0, None, "trunk", NoValue("not marked"), ()
    assert judged_words(Judged(*place, None, "", Verdict.NOT_JUDGED)) == "no band"
    assert judged_words(Judged(*place, band, "", Verdict.NOT_JUDGED)) == "not judged"
