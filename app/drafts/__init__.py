"""Drafts of footfalls: looked for in the film, laid on the run, confirmed or refused one by one."""
