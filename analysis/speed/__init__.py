"""Position over time to step-averaged speed and splits."""
