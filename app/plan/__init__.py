"""The Plan workspace: drills, a day's blocks, who works on what."""
