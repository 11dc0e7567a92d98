"""What a trace says of a record: the hand example of the cold-chain notes and others."""

from datetime import timedelta

from tests.draw.traces import ZONE, at_ms

from thawline.base.instants import from_ms
from thawline.draw.trace import Gap, Outside
from thawline.draw.trace_record import Shown, trace_of
from thawline.rules.cold import Side
from thawline.store.exposure import exposure
from thawline.store.limits import Limits
from thawline.store.readings import readings
from thawline.store.tidy import tidied
from thawline.store.time_out import Question

FRIDGE = Limits(2_000, 8_000)
# the project's cold-chain notes, 7.3: eleven readings, 15 min apart, one gap of an hour
MINUTES = [0, 15, 30, 45, 60, 75, 90, 105, 165, 180, 195]
DEGREES = [5.0, 5.2, 8.4, 10.0, 9.0, 7.0, 5.5, 5.5, 5.0, 1.0, 3.0]


def _trace(minutes, degrees, accuracy_mc=0, **shown):
    tidy = tidied(readings([at_ms(m) for m in minutes], [round(d * 1000) for d in degrees]))
    found = exposure(tidy, Question(FRIDGE, accuracy_mc))
    return trace_of(tidy, found, Shown(title="Unit", zone=ZONE, limits=FRIDGE, **shown))


def test_the_hand_example_has_its_gap_and_both_excursions():
    trace = _trace(MINUTES, DEGREES)

    assert trace.gaps == (Gap(at_ms(105), at_ms(165)),)
    assert trace.outside == (
        Outside(Side.ABOVE, at_ms(30), at_ms(60)),
        Outside(Side.BELOW, at_ms(180), at_ms(180)),
    )


def test_the_hand_example_in_words():
    # above: between 30 and 60 at least, between 15 and 75 and in the gap at most (60 + 60 min);
    # below: one reading alone; at most 165 to 195 and the gap (30 + 60 min)
    says = _trace(MINUTES, DEGREES).says

    assert says[0] == (
        "Time above 8 °C: at least 30 min, at most 2 h. "
        "Time below 2 °C: seen, at most 1 h 30 min. "
        "Lowest seen 1 °C, highest 10 °C."
    )
    assert says[1] == "Not known: 1 h in one gap; the line is not joined across."


def test_a_record_in_band_says_so():
    assert _trace([0, 5, 10], [5, 5.5, 5]).says == (
        "No reading is out of band. Lowest seen 5 °C, highest 5.5 °C.",
    )


def test_a_gap_alone_may_have_held_anything():
    says = _trace([0, 5, 10, 60, 65], [5, 5, 5, 5, 5]).says[0]

    assert says.startswith("Time above 8 °C: perhaps none, at most 50 min.")


def test_at_most_is_never_rounded_down():
    says = _trace([0, 1.5, 3, 4.5], [5, 9, 9, 5]).says[0]

    assert says.startswith("Time above 8 °C: at least 1 min, at most 5 min.")


def test_below_freezing_is_said_in_words():
    assert "Lowest seen minus 0.5 °C" in _trace([0, 5], [-0.5, 3]).says[0]


def test_what_is_held_is_said_last():
    assert _trace([0, 5], [9, 9], held="46 vials are held.").says[-1] == "46 vials are held."


def test_two_readings_of_one_instant_are_both_drawn():
    assert _trace([0, 5, 5, 10], [5, 9, 4, 5]).record.temp_mc.tolist() == [
        *(5_000, 4_000, 9_000, 5_000)
    ]


def test_one_reading_alone_still_has_an_axis():
    trace = _trace([0], [5])

    assert trace.until - trace.since == timedelta(minutes=1)


def test_the_edges_can_be_asked_for():
    trace = _trace(MINUTES, DEGREES, since=from_ms(at_ms(30)), until=from_ms(at_ms(90)))

    assert (trace.since, trace.until) == (from_ms(at_ms(30)), from_ms(at_ms(90)))


def test_what_comes_after_the_last_reading_is_not_known():
    trace = _trace([0, 5, 10], [5, 5.5, 5], until=from_ms(at_ms(60)))

    assert trace.gaps == (Gap(at_ms(10), at_ms(60)),)
    assert trace.says[-1] == "After the last reading nothing is known."


def test_what_comes_before_the_first_reading_is_not_known_either():
    trace = _trace([60, 65, 70], [5, 5.5, 5], since=from_ms(at_ms(0)))

    assert trace.gaps == (Gap(at_ms(0), at_ms(60)),)


def test_an_edge_just_after_the_last_reading_is_no_gap():
    assert _trace([0, 5, 10], [5, 5.5, 5], until=from_ms(at_ms(17))).gaps == ()
