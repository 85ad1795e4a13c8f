"""The films of a day's drills: cut into reps, tagged, clicked, looked at side by side and read."""
