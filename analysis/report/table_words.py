"""What a column of a table means, and in which unit it is."""

from __future__ import annotations

from analysis.report.posture_rows import QUESTIONS
from analysis.report.step_columns import MEASURES
from analysis.values.measures import COLUMN_UNITS, unit_of
from analysis.values.run import Side
from analysis.values.words import tr

_PLAIN = {
    "run_id": tr("The run's id in its project."),
    "run": tr("The run's name."),
    "athlete": tr("The athlete's code."),
    "day": tr("When it was run, year-month-day."),
    "step": tr("Number of the step; 0 is the start push."),
    "athlete_id": tr("The athlete's id in the project."),
    "stance": tr("How the athlete stood before the first movement."),
    "load_kg": tr("What was pulled or worn, kg; negative where the athlete was helped forwards."),
    "surface": tr("What was run on."),
    "shoe": tr("Shoes."),
    "place_m": tr("Place along the running line at which it was read."),
    "other_leg": tr("1 where it is of the leg that is not on the ground there."),
    "runs": tr("How many runs of that day have the number."),
    "since_day": tr("The test before, which it is held against."),
    "claim": tr("Whether the runs of the two days differ beyond errors of measuring."),
    "change": tr("In which way the athlete changed; empty where that can't be said."),
    "rests_on": tr("What the least change rests on."),
    "times_s": tr("Each time of that day from a gate, parted by semicolons."),
    "gate_s": tr("Mean of the times from the gate."),
    "film_runs": tr("How many films of that day have a split there."),
    "film_s": tr("Mean split of the films, from the run's clock zero."),
    "difference_s": tr("Gate less film, from the run's clock zero."),
    "film_off_s": tr("Mean split of the films, from front toe-off."),
    "difference_off_s": tr("Gate less film, from front toe-off."),
    "side": tr("The athlete's own left or right; empty where a measure is of no side."),
    "touchdown_frame": tr("First frame on the ground, counted from 0."),
    "toe_off_frame": tr("First frame off the ground, counted from 0."),
    "touchdown_s": tr("Touchdown, from the film's first frame."),
    "toe_off_s": tr("Toe-off, from the film's first frame."),
    "foot_to_foot_speed_m_s": tr("Step length over step time."),
    "duty_factor": tr("Contact time over the time to the same foot's next touchdown."),
    "speed_gained_m_s": tr("Velocity of the step less that of the step before."),
    "moment": tr("When in its step it is read."),
    "measure": tr("Name of the measure; its unit stands at the end of the name."),
    "partial": tr("1 where a rate is not known, or one side stands for both."),
    "guessed": tr("1 where it rests on a hidden point."),
    "frames": tr("Frames that it rests on, parted by spaces."),
    "reason": tr("Why there is no number."),
    "frame": tr("Frame of the film, counted from 0."),
    "time_s": tr("From the film's first frame."),
    "point": tr("Name of the body point."),
    "how": tr("Whether the coach placed it, it was followed, or it was guessed since it was hidden."),
    "u_px": tr("Place across the picture; pixels have their centres at whole numbers."),
    "v_px": tr("Place down the picture; pixels have their centres at whole numbers."),
    "error_px": tr("Standard uncertainty of the place, along each axis."),
    "x_m": tr("Place along the running line."),
    "v_m_s": tr("Step-averaged speed, from the curve through the whole run."),
    "low_m_s": tr("Lower end of its 95 % interval."),
    "high_m_s": tr("Upper end of its 95 % interval."),
    "shin_deg": tr("Shin, from the forward horizontal; 90 is upright."),
    "com_u_px": tr("Centre of mass, across the picture."),
    "com_v_px": tr("Centre of mass, down the picture."),
    "com_x_m": tr("Centre of mass, along the running line."),
    "com_y_m": tr("Centre of mass, above the ground."),
}
_PLAIN |= {
    f"{stem}_{unit}": words
    for stem, words in {
        "value": tr("The number, where the measure is in this unit."),
        "mean": tr("Mean of that day's runs, where the measure is in this unit."),
        "values": tr("The number of each run, parted by semicolons, where the measure is in this unit."),
        "difference_from_before": tr("This day less the test before, where the measure is in this unit."),
        "least_change": tr("The least change that would count, where the measure is in this unit."),
    }.items()
    for unit in COLUMN_UNITS
}
_HELP = {row.measure: row.help for group in QUESTIONS for row in group.rows}
_HELP |= {column.field: column.help for column in MEASURES}
_ENDS = {
    "_u": tr("Standard uncertainty of {column}."),
    "_low": tr("Lower end of the 95 % interval of {column}."),
    "_high": tr("Upper end of the 95 % interval of {column}."),
}


def meaning(column: str) -> str:
    """What stands in a column, in a sentence; empty for one that nobody described."""
    for ending, words in _ENDS.items():
        if column.endswith(ending):
            return words.format(column=column.removesuffix(ending))
    bare = column.removesuffix("_touchdown_m").removesuffix("_touchdown_deg").removesuffix("_toe_off_deg")
    measure = next((column.removeprefix(f"{s.value}_") for s in Side if column.startswith(s.value)), column)
    names = (column, measure, f"{bare}_deg", f"{bare}_m")
    return next((words[n] for n in names for words in (_PLAIN, _HELP) if n in words), "")


def unit(column: str) -> str:
    """The unit of a column; empty for words, counts and ratios."""
    bare = next((column.removesuffix(end) for end in _ENDS if column.endswith(end)), column)
    if bare.endswith("_px"):
        return "px"
    return "Hz" if bare.endswith("_hz") else "kg" if bare.endswith("_kg") else unit_of(bare)
