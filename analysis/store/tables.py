"""The exact schema of a project file, version 8.

Ids are text. Beside every frame number stands ``<name>_pts``, the film's presentation time of that frame when
it was marked, so that a film whose frames are counted differently is noticed. Tables of later versions are
added by ``migrate``.
"""

from __future__ import annotations

from sqlalchemy import (
    REAL,
    CheckConstraint,
    Column,
    ForeignKey,
    Integer,
    LargeBinary,
    MetaData,
    PrimaryKeyConstraint,
    Table,
    Text,
    text,
)

APPLICATION_ID = 0x434E444C
"""The four letters CNDL at offset 68 of the file."""

SUFFIX = ".cinderlane"
"""How the name of a project file ends."""

metadata = MetaData()


def _id(name: str = "id") -> Column[str]:
    return Column(name, Text, primary_key=True, nullable=False)


def _reference(name: str, target: str, *, nullable: bool = False) -> Column[str]:
    """A reference that is checked when the transaction ends, so that the order within it is free."""
    key = ForeignKey(target, deferrable=True, initially="DEFERRED")
    return Column(name, Text, key, nullable=nullable, index=True)


def _frame(name: str, *, nullable: bool = False) -> tuple[Column[int], Column[int]]:
    frame: Column[int] = Column(name, Integer, CheckConstraint(f"{name} >= 0"), nullable=nullable)
    return frame, Column(f"{name}_pts", Integer)


def _real(name: str, *, nullable: bool = False) -> Column[float]:
    return Column(name, REAL, nullable=nullable)


def _zero(name: str) -> Column[float]:
    """A real number that older files do not hold and mean as 0."""
    return Column(name, REAL, nullable=False, server_default=text("0"))


LENS = ("lens_k1", "lens_focal_px", "lens_u", "lens_v", "lens_k1_u")
"""The columns of a lens, all null where there is none."""


def _lens(of: str = "") -> tuple[Column[float], ...]:
    return tuple(_real(of + name, nullable=True) for name in LENS)


def _owner(name: str, target: str) -> Column[str]:
    """Whose part a row is: the first column of its table's key, which serves as its index."""
    key = ForeignKey(target, deferrable=True, initially="DEFERRED")
    return Column(name, Text, key, nullable=False)


def _part(name: str, key: tuple[str, ...], *columns: Column[int] | Column[str] | Column[float]) -> Table:
    """A table of what is marked on a run; ``key`` tells its rows apart within the run."""
    whose = _owner("run_id", "run.id")
    return Table(name, metadata, whose, *columns, PrimaryKeyConstraint("run_id", *key), sqlite_strict=True)


athlete = Table(
    "athlete",
    metadata,
    _id(),
    Column("code", Text, nullable=False),
    Column("sex", Text),
    _real("stature_m", nullable=True),
    _real("mass_kg", nullable=True),
    Column("age", Text),  # adult, youth or child
    Column("sport", Text),
    sqlite_strict=True,
)

film = Table(
    "film",
    metadata,
    _id(),
    Column("path", Text, nullable=False),  # relative to the project file where that is possible, with /
    Column("fingerprint", Text, nullable=False),
    _real("coach_rate_hz", nullable=True),
    Column("times_pts", LargeBinary),  # from a run sheet: int64, little-endian; null where none was given
    Column("time_base", Text),  # seconds per unit of times_pts as "numerator/denominator"
    Column("width", Integer),
    Column("height", Integer),
    Column("every", Integer),  # how often each picture stands in the file; null where nobody was asked
    sqlite_strict=True,
)

run = Table(
    "run",
    metadata,
    _id(),
    _reference("film_id", "film.id"),
    _reference("athlete_id", "athlete.id", nullable=True),
    Column("name", Text, nullable=False),
    *_frame("first_frame"),
    *_frame("last_frame"),
    Column("direction", Text, CheckConstraint("direction IN ('left', 'right')"), nullable=False),
    _real("camera_distance_m", nullable=True),
    Column("notes", Text, nullable=False),
    Column("unknown_keys", Text, nullable=False),  # of the run sheet that the run came in
    *_frame("first_movement", nullable=True),
    *_frame("rear_toe_off", nullable=True),
    *_frame("front_toe_off", nullable=True),
    Column("front_side", Text, CheckConstraint("front_side IN ('left', 'right')")),
    _real("lane_offset_m", nullable=True),
    _real("lane_offset_u_m", nullable=True),
    _reference("camera_place_id", "camera_place.id", nullable=True),
    Column("count_drafts", Integer, nullable=False, server_default=text("0")),
    Column("start_drafts", Text, nullable=False, server_default=text("''")),  # names with spaces between
    Column("retags", Text),  # no reference: the run that is tagged again may go
    Column("day", Text, nullable=False, server_default=text("''")),
    Column("stance", Text),
    _real("load_kg", nullable=True),
    Column("surface", Text, nullable=False, server_default=text("''")),
    Column("shoe", Text, nullable=False, server_default=text("''")),
    _real("wind_m_s", nullable=True),
    Column("rep", Integer),
    Column("cue", Text, nullable=False, server_default=text("''")),
    Column("named_good", Integer, nullable=False, server_default=text("0")),
    Column("overruled_question", Text),  # null with a reason: nothing went wrong
    Column("overruled_reason", Text),  # null: the coach does not overrule the reading
    Column("of_drill", Integer, nullable=False, server_default=text("0")),
    sqlite_strict=True,
)

report_place = _part(
    "report_place",
    ("position",),
    Column("position", Integer, nullable=False),
    _real("x_m"),
)

mark = _part(
    "mark",
    ("id",),
    Column("id", Text, nullable=False),
    _real("x_m"),
    _real("y_m"),
    *_frame("frame"),
    _real("u"),
    _real("v"),
    _real("error_px"),
    _zero("error_m"),
    _zero("z_m"),
)

footfall = _part(
    "footfall",
    ("id",),
    Column("id", Text, nullable=False),
    Column("side", Text, CheckConstraint("side IN ('left', 'right')"), nullable=False),
    *_frame("touchdown", nullable=True),
    *_frame("toe_off", nullable=True),
    Column("unsure_frames", Integer),
    Column("draft", Integer, CheckConstraint("draft IN (0, 1)"), nullable=False),
    _real("confidence", nullable=True),
)

point = _part(
    "point",
    ("frame", "name"),
    *_frame("frame"),
    Column("name", Text, nullable=False),
    _real("u"),
    _real("v"),
    _real("error_px"),
)

line = _part(
    "line",
    ("id",),
    Column("id", Text, nullable=False),
    *_frame("frame"),
    Column("kind", Text, CheckConstraint("kind IN ('trunk', 'shin', 'thigh', 'free')"), nullable=False),
    Column("side", Text, CheckConstraint("side IN ('left', 'right')")),
    _real("lower_u"),
    _real("lower_v"),
    _real("upper_u"),
    _real("upper_v"),
    _real("error_px"),
)

camera_place = Table(
    "camera_place",
    metadata,
    _id(),
    Column("name", Text, nullable=False),
    *_lens(),
    _real("distance_m", nullable=True),
    sqlite_strict=True,
)

camera_place_mark = Table(
    "camera_place_mark",
    metadata,
    _owner("camera_place_id", "camera_place.id"),
    Column("id", Text, nullable=False),
    *(_real(name) for name in ("x_m", "y_m", "z_m", "u", "v", "error_px", "error_m")),
    PrimaryKeyConstraint("camera_place_id", "id"),
    sqlite_strict=True,
)

film_camera = Table(
    "film_camera",
    metadata,
    Column(
        "film_id",
        Text,
        ForeignKey("film.id", deferrable=True, initially="DEFERRED"),
        primary_key=True,
        nullable=False,
    ),
    Column("kind", Text, CheckConstraint("kind IN ('still', 'turning', 'walking')")),  # null: no path
    *_frame("reference", nullable=True),
    *_frame("first", nullable=True),
    Column("maps", LargeBinary),  # float64, little-endian, packed by zlib, nine numbers a frame
    Column("error_px", LargeBinary),  # the same, one number a frame; infinite where untied
    _real("parallax_px", nullable=True),
    *_lens(),
    Column("to_place", LargeBinary, nullable=False),  # nine float64, little-endian
    _real("to_place_error_px"),
    *_lens("path_"),  # with which the path was followed
    sqlite_strict=True,
)

tagging = Table(
    "tagging",
    metadata,
    _id(),
    Column("coach", Text, nullable=False),
    _real("s_s"),
    Column("pairs", Integer, nullable=False),
    sqlite_strict=True,
)

band_table = Table(
    "band_table",
    metadata,
    _id(),
    Column("name", Text, nullable=False),
    Column("version", Integer, nullable=False),
    Column("origin", Text, nullable=False),
    Column("sex", Text),
    Column("sport", Text),
    Column("age", Text),
    Column("stance", Text),
    _reference("athlete_id", "athlete.id", nullable=True),
    Column("runs", Integer, nullable=False),
    Column("made_at", Text, nullable=False, server_default=text("''")),  # empty: nobody knows
    sqlite_strict=True,
)

band = Table(
    "band",
    metadata,
    _owner("band_table_id", "band_table.id"),
    Column("position", Integer, nullable=False),
    Column("measure", Text, nullable=False),
    Column("moment", Text, nullable=False),
    Column("first_step", Integer, nullable=False),
    Column("last_step", Integer),  # null: to the last one
    _real("low", nullable=True),
    _real("high", nullable=True),
    Column("source", Text, nullable=False),
    Column("better", Text, CheckConstraint("better IN ('higher', 'lower')")),
    PrimaryKeyConstraint("band_table_id", "position"),
    sqlite_strict=True,
)

drill = Table(
    "drill",
    metadata,
    _id(),
    Column("content", Text, nullable=False),  # a JSON object
    sqlite_strict=True,
)

day = Table(
    "day",
    metadata,
    _id(),
    Column("date", Text, nullable=False),
    Column("athlete_ids", Text, nullable=False),  # a JSON array of text
    Column("question", Text),
    _real("minutes", nullable=True),
    Column("stations", Integer, nullable=False),
    Column("notes", Text, nullable=False),
    sqlite_strict=True,
)

planned_drill = Table(
    "planned_drill",
    metadata,
    _owner("day_id", "day.id"),
    Column("position", Integer, nullable=False),
    Column("id", Text, nullable=False),
    Column("drill_id", Text, nullable=False),
    Column("block", Text, nullable=False),
    Column("sets", Integer, nullable=False),
    Column("reps", Integer, nullable=False),
    _real("rest_s"),
    Column("load", Text, nullable=False),
    Column("cue", Text, nullable=False),
    Column("loads", Text, nullable=False),  # a JSON array of pairs: athlete id, words
    Column("done_at", Text),  # null: nobody said that it was done
    Column("done_note", Text, nullable=False, server_default=text("''")),
    Column("left_out", Text, nullable=False, server_default=text("'[]'")),  # a JSON array of athlete ids
    PrimaryKeyConstraint("day_id", "position"),
    sqlite_strict=True,
)

tracks = Table(
    "tracks",
    metadata,
    Column("key", Text, primary_key=True, nullable=False),
    Column("run_id", Text, nullable=False, index=True),  # no reference: a run may go and come back
    Column("kept", Integer, nullable=False),  # counts up; the oldest of a run go first
    Column("content", LargeBinary, nullable=False),
    sqlite_strict=True,
)

drill_film = Table(
    "drill_film",
    metadata,
    _id(),
    _reference("run_id", "run.id"),
    _reference("day_id", "day.id"),
    Column("content", Text, nullable=False),  # a JSON object
    sqlite_strict=True,
)

narration = Table(
    "narration",
    metadata,
    _id(),
    Column("content", Text, nullable=False),  # a JSON object
    sqlite_strict=True,
)

recording = Table(
    "recording",
    metadata,
    _id(),
    Column("sound", LargeBinary, nullable=False),  # what was spoken, as a small sound file
    Column("content", Text, nullable=False),  # a JSON object: what the film showed meanwhile
    sqlite_strict=True,
)

face_cover = Table(
    "face_cover",
    metadata,
    _id(),
    _reference("film_id", "film.id"),
    Column("number", Integer, nullable=False),  # tells the faces of a film apart
    Column("content", Text, nullable=False),  # a JSON object
    sqlite_strict=True,
)

consent = Table(
    "consent",
    metadata,
    _id(),
    _reference("athlete_id", "athlete.id"),
    Column("content", Text, nullable=False),  # a JSON object
    sqlite_strict=True,
)

gate_time = Table(
    "gate_time",
    metadata,
    _id(),
    _reference("athlete_id", "athlete.id"),
    Column("date", Text, nullable=False),
    _real("distance_m"),
    _real("time_s"),
    Column("note", Text, nullable=False),
    sqlite_strict=True,
)

published_error = Table(
    "published_error",
    metadata,
    _id(),  # the key of the measure
    _real("typical_error"),
    Column("source", Text, nullable=False),
    sqlite_strict=True,
)
