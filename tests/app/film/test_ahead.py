"""What is made ready first follows from how the film was moved."""

from app.film.ahead import direction_of, wishes_of


def test_a_step_has_a_direction_and_a_jump_has_none():
    assert direction_of(1, 0) == 1
    assert direction_of(-4, 1) == -1
    assert direction_of(0, -1) == -1
    assert direction_of(500, 1) == 0


def test_after_a_jump_both_sides_come_before_the_far_ones():
    order = [far for far, _ in wishes_of(0, playing=False)]
    assert {order[0] > 0, order[1] > 0} == {True, False}
    assert max(map(abs, order[:4])) < max(map(abs, order))


def test_the_direction_of_travel_comes_first_and_reaches_further():
    for way in (1, -1):
        order = [far for far, _ in wishes_of(way, playing=False)]
        assert order[0] * way > 0
        assert max(order, key=abs) * way > 0


def test_while_it_plays_the_decoder_is_not_sent_back():
    for way in (1, -1):
        assert all(far * way > 0 for far, _ in wishes_of(way, playing=True))
