"""Exercises answered a second time, apart from the code that solves them."""

from woodcalc.lesson.exercise import seeded


def agree(exercise, answer, within=None, turns=40):
    """Fail where `answer`, called with an exercise's numbers, parts from its solution.

    Parameters
    ----------
    exercise : Exercise
    answer : callable
        The arithmetic written out; returns a number in the exercise's unit.
    within : float, optional
        The most that the two may part by; half of the exercise's tolerance if left out.
    turns : int
        How many sets of numbers are drawn.
    """
    most = exercise.tolerance / 2 if within is None else within
    for turn in range(turns):
        numbers = exercise.draw(seeded("a second time", exercise.key, turn))
        found = answer(**numbers)
        assert abs(found - exercise.solve(**numbers)) <= most, (numbers, found)
        assert exercise.mark(round(found, exercise.decimals), numbers)[0], (numbers, found)
