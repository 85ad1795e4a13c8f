"""Pages to hand over: the reading's numbers, nothing from a network, names that do no harm."""

import base64
import io
import re
from collections import Counter
from dataclasses import replace
from html.parser import HTMLParser

import pytest
from PIL import Image

from analysis.jobs.report import told_of
from analysis.plan.library import common_drills
from analysis.reading import read
from analysis.reading.compare import compare
from analysis.reading.framing import framing_findings
from analysis.report.answer_words import VERDICT_WORDS
from analysis.report.content import Heading, Table
from analysis.report.page import as_html
from analysis.report.page_athlete import athlete_content
from analysis.report.page_changes import key_text
from analysis.report.page_coach import coach_content
from analysis.report.told import without_names
from analysis.report.words import unit_shown
from analysis.values.comparison import Claim
from analysis.values.conditions import AgeGroup
from analysis.values.day_plan import DayPlan, Done, PlannedDrill
from analysis.values.drill import Block
from analysis.values.estimate import Estimate
from analysis.values.finding import Finding
from analysis.values.project import Project
from analysis.values.questions import QUESTION_NAMES, Overruling, Question, Verdict
from analysis.values.run import Athlete
from analysis.values.words import capital
from tests.analysis.report.pages import HOSTILE, called, told_of_day, whole_told

VOID = {"meta", "img", "br", "line", "circle", "rect", "polygon", "polyline"}


class Page(HTMLParser):
    """The page as a browser takes it apart: tags, words by tag, numbers."""

    def __init__(self, text):
        super().__init__(convert_charrefs=True)
        self.tags, self.attributes, self.words, self.numbers = [], [], [], []
        self._open = []
        self.feed(text)
        self.close()
        assert not self._open, self._open

    def handle_starttag(self, tag, attrs):
        self.tags.append(tag)
        self.attributes += [(tag, name, value) for name, value in attrs]
        if tag == "data":
            self.numbers.append([dict(attrs)["data-key"], float(dict(attrs)["value"]), ""])
        if tag not in VOID:
            self._open.append(tag)

    def handle_startendtag(self, tag, attrs):
        self.tags.append(tag)
        self.attributes += [(tag, name, value) for name, value in attrs]

    def handle_endtag(self, tag):
        assert self._open.pop() == tag

    def handle_data(self, data):
        if "data" in self._open:
            self.numbers[-1][2] += data
        if self._open and self._open[-1] != "style":
            self.words.append(data)

    @property
    def text(self):
        return " ".join(" ".join(self.words).split())


@pytest.fixture(scope="module")
def told():
    return whole_told()


@pytest.fixture(scope="module")
def coach(told):
    return Page(as_html(coach_content(told)))


def numbers_of(reading):
    """Every value that may stand under a key of the page, from the reading itself."""
    found = {}
    for step in reading.steps:
        for name, result in vars(step).items():
            if isinstance(result, Estimate):
                found.setdefault(f"{name}:{step.step}", []).append(result)
    for name, result in vars(reading.start).items():
        found.setdefault(f"{name}:0", []).append(result)
    for place in (*reading.splits, *reading.speeds):
        for name, result in vars(place).items():
            key = {"time_s": "split_s", "from_front_toe_off_s": "split_from_front_toe_off_s"}.get(name, name)
            found.setdefault(f"{key}:{place.x_m:g}", []).append(result)
    judged = (one for answer in reading.questions for one in (*answer.measures, *answer.over_steps))
    rows = [*reading.posture, *judged]
    for row in rows:
        if isinstance(row.result, Estimate):
            found.setdefault(f"{row.measure}:{row.moment.value}:{row.step}", []).append(row.result)
    return found


def test_every_number_is_the_readings(told, coach):
    known = numbers_of(told.reading)
    assert len(coach.numbers) > 200
    of_run = [one for one in coach.numbers if not one[0].startswith(("before:", "after:", "difference:"))]
    for key, value, text in of_run:
        (number,) = {one for one in known[key] if one.value == value}
        unit = unit_shown(key.split(":")[0])
        shown, half = (float(part) for part in re.findall(r"[\d.]+", text)[:2])
        sign = -1 if text.startswith("\N{MINUS SIGN}") else 1
        decimals = len(re.match(r"\N{MINUS SIGN}?\d+\.?(\d*)", text).group(1))
        away = 0.5 * 10**-decimals + 1e-9  # rounding alone
        assert abs(sign * shown - value * unit.factor) <= away, key
        assert abs(half - number.half_width * unit.factor) <= max(away, 10**-decimals), key


def test_every_step_and_posture_number_is_on_the_page(told, coach):
    on_page = {(key, value) for key, value, _ in coach.numbers}
    for step in told.reading.steps:
        for name in ("contact_s", "flight_s", "step_length_m", "step_velocity_m_s"):
            result = getattr(step, name)
            if isinstance(result, Estimate):
                assert (f"{name}:{step.step}", result.value) in on_page
    posture = [row for row in told.reading.posture if isinstance(row.result, Estimate)]
    assert len(posture) > 200
    for row in posture:
        assert (f"{row.measure}:{row.moment.value}:{row.step}", row.result.value) in on_page


@pytest.mark.parametrize("write", [coach_content, athlete_content])
def test_a_page_asks_nothing_of_a_network(told, write):
    text = as_html(write(told))
    page = Page(text)
    assert not re.search(r"https?:|//[a-z]|url\(|@import", text)
    assert not {"script", "link", "iframe", "object", "form"} & set(page.tags)
    sources = [value for _, name, value in page.attributes if name in ("src", "href", "xlink:href")]
    assert all(value.startswith(("data:image/", "#")) for value in sources)  # "#": to a heading of the page
    assert any("default-src 'none'" in (value or "") for _, _, value in page.attributes)


def test_the_coach_reads_first_what_it_comes_to_and_where_to_find_the_rest(told):
    page = coach_content(told)
    first, facts, contents, *rest = page.blocks
    assert first.text == told.reading.first_cause.sentence
    rows = {row.name: row.number.text for row in facts.rows}
    assert [rows[capital(name)] for name in QUESTION_NAMES.values()] == [
        VERDICT_WORDS[answer.verdict] for answer in told.reading.questions
    ]
    split = next(one for one in told.reading.splits if one.x_m == 10.0).time_s
    assert rows["Split, first movement, at 10 m"].startswith(f"{split.value:.3f} ±")
    assert rows["Since 2026-03-06"] == "cannot be told"
    assert rows["Next"] == "2026-03-21: Launch"
    titles = [one for one in rest if isinstance(one, Heading) and one.level == 2]
    assert contents.headings == tuple(titles)
    assert len({one.anchor for one in titles}) == len(titles) > 8


def test_words_stand_at_the_left_of_their_column_and_numbers_at_the_right(told):
    tables = {b.title: b for b in coach_content(told).blocks if isinstance(b, Table)}
    assert set(tables["Steps"].looks) == {"number"}
    assert tables["Since the last day"].looks[:4] == ("number", "number", "number", "words sentence")
    launch = next(table for title, table in tables.items() if "Launch" in title)
    assert [look.split()[0] for look in launch.looks] == ["number", "words", "words"]
    for line in launch.lines:
        assert "band" not in line.numbers[2].text  # its heading says so
        assert "-" not in line.numbers[2].text  # a minus sign is one
    assert any("\N{MINUS SIGN}" in line.numbers[2].text for line in launch.lines)


def test_what_belongs_on_the_coachs_page_is_there(told, coach):
    reading, text = told.reading, coach.text
    for sentence in (reading.first_cause.sentence, *reading.notes):
        assert " ".join(sentence.split()) in text
    for answer in reading.questions:
        for departure in answer.departures:
            assert departure.sentence in text
        assert answer.beside in text
    assert "more than chance" in reading.questions[-1].beside
    assert "2026-03-21" in text
    assert "push long" in text
    assert "sled 12 kg" in text
    assert coach.tags.count("svg") == 2
    (picture,) = [v for tag, name, v in coach.attributes if (tag, name) == ("img", "src")]
    kind, _, packed = picture.partition(",")
    assert kind == "data:image/jpeg;base64"
    assert Image.open(io.BytesIO(base64.b64decode(packed))).size == (40, 60)


def test_the_athletes_page_is_short_and_begins_with_the_cause(told):
    page = Page(as_html(athlete_content(told)))
    assert told.reading.first_cause.sentence in page.text
    assert "push long" in page.text
    assert len(page.text) < 4000  # what an A4 page holds (common practice, no source)
    assert page.tags.count("table") == 1  # its numbers, a column for each place
    assert "svg" not in page.tags


@pytest.mark.parametrize(("sex", "count"), [("male", 1), ("female", 0)])
def test_the_rule_of_thumb_stands_on_the_coachs_page_of_a_man(told, sex, count):
    """Common practice, no source: nearly 8 m/s at 10 m."""
    athlete = replace(told.evidence.athlete, sex=sex, age=AgeGroup.ADULT)
    of_one = replace(told, evidence=replace(told.evidence, athlete=athlete))
    assert Page(as_html(coach_content(of_one))).text.count("nearly 8 m/s") == count
    assert "nearly 8 m/s" not in Page(as_html(athlete_content(of_one))).text


def test_the_athlete_reads_plain_sentences_with_the_readings_numbers():
    told = told_of_day()
    text = Page(as_html(athlete_content(told))).text
    assert "band" not in text
    strike = told.reading.questions[2]
    assert len(strike.departures) == 2
    (distance,) = [
        one
        for one in strike.measures
        if (one.measure, one.step) == ("touchdown_distance_m", 2) and one.verdict is Verdict.OUTSIDE
    ]
    number = f"{distance.result.value:.2f} m"
    # the one thing and the third look
    assert text.count(f"The foot lands far in front of the body on step 2 ({number}).") == 2
    breaks = {one.measure: one for one in told.reading.rhythm.breaks}
    contact, length = breaks["contact_s"], breaks["step_length_m"]
    for one, size in (
        (contact, f"{1000 * contact.difference.value:.0f} ms"),
        (length, f"{-length.difference.value:.2f} m"),
    ):
        assert f"on step {one.second_step} than on step {one.first_step} ({size})." in text
    assert "it may have begun there" in text  # launch and swap could be judged in part only
    assert "Nobody said the age group" in text


@pytest.mark.parametrize("write", [coach_content, athlete_content])
def test_body_mass_is_on_no_page(told, write):
    heavy = replace(told.evidence.athlete, mass_kg=197.531)
    evidence = replace(told.evidence, athlete=heavy)
    text = Page(as_html(write(replace(told, evidence=evidence, reading=read(evidence))))).text
    assert "197.5" not in text
    assert "198 kg" not in text


@pytest.mark.parametrize("name", HOSTILE)
@pytest.mark.parametrize("write", [coach_content, athlete_content])
def test_names_do_no_harm_and_are_shown_as_written(told, write, name):
    hostile = called(told, name)
    page, plain = Page(as_html(write(hostile))), Page(as_html(write(told)))
    assert page.text.count(" ".join(name.split())) >= 4
    assert set(page.tags) <= {*plain.tags, "dl", "dt", "dd"}
    assert page.tags.count("img") == plain.tags.count("img")
    assert page.tags.count("style") == plain.tags.count("style")


def test_a_run_with_nothing_on_it_still_has_a_page(told):
    bare = replace(
        told.evidence.run, footfalls=(), points=(), lines=(), marks=(), start=type(told.evidence.run.start)()
    )
    evidence = replace(told.evidence, run=bare, athlete=None)
    empty = replace(
        told, evidence=evidence, reading=read(evidence), tiles=(), no_tiles="No frames.", day=None, others=()
    )
    page = Page(as_html(coach_content(empty)))
    assert not page.numbers
    assert "No frames." in page.text
    assert "tag touchdowns" in page.text
    Page(as_html(athlete_content(empty)))


def test_what_comes_next_is_the_first_day_from_the_run_on_that_was_not_done():
    done = PlannedDrill(
        "p", next(iter(common_drills())), Block.FOUNDATION, 1, 1, 0.0, done=Done("2026-03-20T10:00")
    )
    dates = {"a": "2026-03-06", "b": "2026-03-20", "c": "2026-03-21", "d": "2026-04-03", "e": "2026-03-21"}
    days = {one: DayPlan(one, date, ("x",), None) for one, date in dates.items()}
    days["b"] = replace(days["b"], drills=(done,))
    days["e"] = replace(days["e"], athlete_ids=("y",))

    def next_of(day):
        evidence = replace(told_of_day(day=day).evidence, athlete=Athlete("x", "X"))
        evidence = replace(evidence, run=replace(evidence.run, athlete_id="x"))
        project = Project(athletes={one: Athlete(one, one) for one in "xy"}, days=days)
        return told_of(project, evidence, read(evidence), None).day

    assert next_of("2026-03-06").id == "a"  # the day itself counts
    assert next_of("2026-03-07").id == "c"  # what was done already doesn't
    assert next_of("2026-03-22").id == "d"
    assert next_of("2026-04-04") is None
    assert next_of("").id == "d"


def test_without_names_nothing_stands_on_a_page_that_somebody_wrote(told):
    """Not the code, the run's name, a word of the coach's or a file's name."""
    name = "Q7-Zebra"
    mine = called(replace(told, film_notes=(f"{name}.mp4 is another film",)), name)
    cause = replace(mine.reading.first_cause, coach=Overruling(Question.SWAP, name))
    mine = replace(mine, reading=replace(mine.reading, first_cause=cause), day=replace(mine.day, notes=name))
    for content in (coach_content, athlete_content):
        assert name in as_html(content(mine))
        bare = as_html(content(without_names(mine)))
        assert name not in bare
        assert "2026-03" not in bare
        assert told.day.date not in bare
        assert content(without_names(mine)).heading in (("A run",), ("Your run",))
        assert Counter(one.key for one in content(without_names(mine)).numbers) == Counter(
            one.key for one in content(replace(mine, day=None)).numbers
        )


def test_the_last_day_stands_beside_it_with_its_verdicts(told, coach):
    """Both values and the difference as ``compare`` has them; an only day is said to be one."""
    found = compare(told.others, [told.reading], [*told.others, told.reading])
    on_page = {(key, value) for key, value, _ in coach.numbers}
    differs = [row for row in found.rows if row.claim is Claim.DIFFERS]
    assert len(differs) > 5
    for row in differs:
        for side in ("before", "after", "difference"):
            assert (f"{side}:{key_text(row.key)}", getattr(row, side).value) in on_page
    assert "2026-03-20 (1 run) against 2026-03-06 (1 run)" in coach.text
    assert "With one run on a side" in coach.text
    assert "No earlier day" in Page(as_html(coach_content(told_of_day()))).text


def test_frames_of_a_person_without_consent_are_not_to_be_shared(told):
    words = "hand this page to the athlete and the coaches only"
    assert words in Page(as_html(coach_content(told))).text
    assert words not in Page(as_html(coach_content(replace(told, may_share=True)))).text
    assert words not in Page(as_html(coach_content(replace(told, tiles=())))).text


def test_the_coach_reads_how_good_the_film_is_what_costs_something_first(told):
    found = (
        Finding("size", True, 720.0, "The picture has 1280 × 720 pixels."),
        Finding("blur", False, 9.0, "Moving edges are blurred."),
        Finding("tilt", False, 3.0, "The picture alone says that the ground is tilted."),
    )
    text = Page(as_html(coach_content(replace(told, findings=found)))).text
    assert text.index("How good this film is") < text.index("What costs something: Moving edges are blurred.")
    assert text.index("What costs nothing:") < text.index("The picture has 1280 × 720 pixels.")
    assert text.index("Moving edges") < text.index("What costs nothing:")
    framing = framing_findings(told.evidence)
    assert "tilt" in {one.topic for one in framing}
    assert "picture alone" not in text  # the marks tell it better
    for one in framing:
        assert one.sentence in text
