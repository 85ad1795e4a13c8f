"""The run workspace: what happened in this run?"""
