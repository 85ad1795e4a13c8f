"""The ground strip beside the film: place across, time down, on the time axis of the step rail."""
