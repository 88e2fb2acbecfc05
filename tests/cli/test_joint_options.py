"""The joint plan's options and the wishes they fill say the same where nothing is asked for."""

import argparse

from graftwright.cli.joint_options import joint_options
from graftwright.season.scheme.wishes import SchemeWishes


def test_the_options_default_to_the_wishes_of_the_scheme():
    joint = argparse.ArgumentParser()
    joint_options(joint, count=int)
    asked, wishes = joint.parse_args([]), SchemeWishes()
    assert (asked.tree_price, asked.parcel_price, asked.journey_price) == (
        wishes.tree_price,
        wishes.parcel_price,
        wishes.journey_price,
    )
    assert asked.currency == wishes.currency
    assert asked.days_on_way == wishes.days_on_way_count
    assert asked.seconds == wishes.time_limit_s
    assert asked.stocks_stay is not wishes.stocks_may_move


def test_the_help_names_the_defaults():
    joint = argparse.ArgumentParser()
    joint_options(joint, count=int)
    named = [one for one in joint._actions if one.default and one.help and "(" in one.help]
    assert len(named) == 6
    for action in named:
        if action.help:
            shown = f"{action.default:g}" if isinstance(action.default, float) else action.default
            assert f"({shown})" in action.help
