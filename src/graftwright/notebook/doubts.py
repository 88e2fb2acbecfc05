"""Doubts as they are kept, in English, and as a reader hears them."""

from graftwright.tongue import joined, marked, retold, say

_DOUBTS = (
    marked("grafted twice: also on {happened_on}"),
    marked("{name} on {happened_on}, before it was grafted"),
    marked("in two places on {happened_on}"),
    marked("promised twice: {allocated_to} and {promise_code}"),
    marked("handed over twice: {handed_over_on} and {happened_on}"),
    marked("{used_count} worked and {lost_count} lost of {arrived_count} arrived"),
    marked("code {code} was given to two bundles"),
    marked("code {key} was given {count} times"),
    marked("{used} pieces used from {bud_count} buds"),
    marked("withdrawn on {happened_on}, served on {happened_on_2}"),
    marked("the same arrival is written twice on {happened_on}"),
    marked("thrown out on {happened_on}, used on {happened_on_2}"),
    marked("handed over on {happened_on}, moved here on {happened_on_2}"),
    marked("dead on {happened_on}, handed over on {happened_on_2}"),
    marked("set aside, and gone: {name} and {now}"),
    marked("{sort}: {shown}, then {shown_2}"),
    marked("{replace} corrected to {shown}, then to {shown_2}"),
    marked("the {count} codes {first} to {last} were handed out to {whom} and to {whom_2}"),
    marked("a clash was settled in two ways; the later one counts for now"),
)
"""Every shape in which what contradicts itself is kept."""


def doubt_words(doubt: str) -> str:
    """Return a doubt of something that stands, in the language spoken now."""
    return retold(doubt, _DOUBTS)


def signs_words(signs: str) -> str:
    """Return what an opened graft showed, kept as signs parted by semicolons, as spoken now."""
    return joined((say(one.strip()) for one in signs.split(";")), "; ")
