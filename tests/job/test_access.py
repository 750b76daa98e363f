"""Do covers hide what lies under them, and only that?"""

from __future__ import annotations

import pytest

from parked_hvac.job.access import POINT_COVERS, needed_covers, reach
from parked_hvac.job.errors import Refused
from parked_hvac.rig.catalogue import catalogue
from parked_hvac.rig.senses import POINTS


def probing(red: str, black: str) -> tuple[str, ...]:
    return needed_covers("measure", {"function": "ohms", "red": red, "black": black})


def test_does_each_lead_need_its_own_cover_off():
    assert probing("G2+", "K1.87") == ("aux_bank_lid", "unit_lid")
    assert probing("G2+", "G2-") == ("aux_bank_lid",)
    assert probing("X0", "X4") == ()


@pytest.mark.parametrize(
    ("verb", "arguments", "covers"),
    [
        ("clamp", {"cable": "W12"}, ("feed_panel_cover",)),
        ("clamp", {"cable": "W6"}, ()),
        ("clamp", {"cable": "W31"}, ("unit_lid",)),
        ("clamp", {"cable": "W30"}, ()),
        ("look", {"location": "aux_bank"}, ("aux_bank_lid",)),
        ("listen", {"location": "feed_panel"}, ()),
        ("listen", {"location": "unit_opened"}, ("unit_lid",)),
        ("feel", {"location": "bunk"}, ()),
        ("look", {"location": "unit_outside"}, ()),
        ("warm_sensor", {"sensor": "B1"}, ("unit_lid",)),
        ("warm_sensor", {"sensor": "B3"}, ()),
        ("repair", {"fault": "k1_contact_burnt"}, ("unit_lid",)),
        ("repair", {"fault": "nothing_wrong"}, ()),
        ("pull_fuse", {"fuse": "F6"}, ()),
        ("seat_connector", {"connector": "X30"}, ("unit_lid",)),
        ("load_test", {"battery": "G1.2"}, ("start_bank_lid",)),
        ("wait", {"seconds": 5}, ()),
    ],
)
def test_does_each_action_need_the_covers_over_what_it_touches(verb, arguments, covers):
    assert needed_covers(verb, arguments) == covers
    reach(verb, arguments, covers)
    if covers:
        with pytest.raises(Refused, match=catalogue().covers[covers[0]].label):
            reach(verb, arguments, ())


def test_do_points_of_the_thermometer_lie_under_covers_that_exist():
    assert set(POINT_COVERS) <= set(POINTS)
    assert set(POINT_COVERS.values()) <= set(catalogue().covers)
