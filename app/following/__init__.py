"""Points followed between the placed ones: the work beside, and what is to be looked at."""
