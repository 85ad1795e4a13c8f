"""What ffprobe says of films, kept as tables. `python3 -m tests.truth.ffprobe_tables` writes them anew.

Times are those of the frames that ffprobe decodes, so that its meaning of edit lists and of packets that are
not shown is in them.
"""

import csv
import json
import subprocess
from pathlib import Path

HERE = Path(__file__).parent
TABLES = HERE / "data" / "ffprobe"
CLIPS = HERE.parent.parent / "sample_clips"
PHONE = HERE / "data" / "phone"


def films() -> dict[str, Path]:
    """The films that tables are kept of, by the names of their tables."""
    clips = [CLIPS / "wing_day1.mp4", CLIPS / "wing_day2.mp4"]
    phone = sorted(path for path in PHONE.iterdir() if path.suffix.lower() in {".mp4", ".mov"})
    return {path.stem: path for path in clips + phone}


def ask(program: str, film: Path) -> tuple[dict[str, str], list[tuple[int, str]]]:
    """What the program says: facts of the first video stream, and (pts, time in s) of each frame."""
    of_stream = "stream=width,height,time_base:stream_side_data=rotation"
    asked = f"frame=best_effort_timestamp,best_effort_timestamp_time:{of_stream}"
    command = [
        program,
        "-v",
        "error",
        "-select_streams",
        "v:0",
        "-show_entries",
        asked,
        "-of",
        "json",
        str(film),
    ]
    said = json.loads(subprocess.run(command, capture_output=True, check=True, text=True).stdout)
    stream = said["streams"][0]
    turns = [data["rotation"] for data in stream.get("side_data_list", []) if "rotation" in data]
    facts = {
        "width": str(stream["width"]),
        "height": str(stream["height"]),
        "time_base": stream["time_base"],
        "rotation": str(turns[0] if turns else 0),
    }
    frames = said["frames"]
    return facts, [(f.get("best_effort_timestamp"), f.get("best_effort_timestamp_time")) for f in frames]


def kept(name: str) -> tuple[dict[str, str], list[tuple[int, str]]]:
    """The same from the table."""
    with (TABLES / "films.csv").open(newline="") as file:
        facts = next(row for row in csv.DictReader(file) if row.pop("film") == name)
    with (TABLES / f"{name}.csv").open(newline="") as file:
        return facts, [(int(row["pts"]), row["time_s"]) for row in csv.DictReader(file)]


def write() -> None:
    """Write all tables."""
    TABLES.mkdir(parents=True, exist_ok=True)
    rows = []
    for name, film in films().items():
        facts, frames = ask("ffprobe", film)
        rows.append({"film": name, **facts})
        with (TABLES / f"{name}.csv").open("w", newline="") as file:
            writer = csv.writer(file, lineterminator="\n")
            writer.writerows([("pts", "time_s"), *frames])
        print(f"{name}: {len(frames)} frames")
    with (TABLES / "films.csv").open("w", newline="") as file:
        table = csv.DictWriter(file, list(rows[0]), lineterminator="\n")
        table.writeheader()
        table.writerows(rows)


if __name__ == "__main__":
    write()
