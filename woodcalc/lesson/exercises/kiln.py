"""Exercises."""

EXERCISES = ()
