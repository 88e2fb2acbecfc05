"""What the organiser chooses: what an own offer allows, the offers brought in, the prices."""

from typing import Any

from django import forms
from django.core.files.uploadedfile import UploadedFile

from graftwright.exchange import MOST_OFFER_BYTES
from graftwright.season.scheme import OfferWishes, SchemeWishes
from graftwright.tongue import marked, say

_USUAL_SEARCH_S, _LONGEST_SEARCH_S = 8, 600


class OwnOfferForm(forms.Form):
    """What this nursery allows the others; nothing leaves it unless it is ticked."""

    sends_wood = forms.BooleanField(required=False)
    sends_stocks = forms.BooleanField(required=False)
    works_for_others = forms.BooleanField(required=False)
    shares_counts = forms.BooleanField(required=False)

    WORDS = {
        "sends_wood": marked("Clean wood whose owner said yes may be posted"),
        "sends_stocks": marked("Stocks may be posted"),
        "works_for_others": marked("Promises of others may be grafted at this bench"),
        "shares_counts": marked("Takes go with it, pooled so that no person’s results show"),
    }

    def choices(self) -> list[tuple[forms.BoundField, str]]:
        """Return each box with its words."""
        return [(self[name], say(words)) for name, words in self.WORDS.items()]

    def wishes(self) -> OfferWishes:
        """Return what is allowed."""
        return OfferWishes(**{name: bool(self.cleaned_data[name]) for name in self.WORDS})


class OfferFileForm(forms.Form):
    """One offer of another nursery."""

    file = forms.FileField()

    def __init__(self, *given: Any, **named: Any) -> None:
        super().__init__(*given, **named)
        field = self.fields["file"]
        field.label = say("The file")
        field.help_text = say("An offer (.json) as another nursery sent it.")
        field.error_messages |= {
            "required": say("Choose a file."),
            "empty": say("That file is empty."),
        }

    def clean_file(self) -> "UploadedFile[bytes]":
        """Refuse what is too large to be an offer before it is read."""
        upload: UploadedFile[bytes] = self.cleaned_data["file"]
        if (upload.size or 0) > MOST_OFFER_BYTES:
            raise forms.ValidationError(
                say("The file has {count} bytes; an offer has at most {most}.").format(
                    count=upload.size, most=MOST_OFFER_BYTES
                )
            )
        return upload


class PricesForm(forms.Form):
    """What a tree, a parcel and a journey count; part of the page's address."""

    tree_price = forms.FloatField(min_value=0.01, max_value=10_000.0, initial=20.0)
    parcel_price = forms.FloatField(min_value=0.0, max_value=10_000.0, initial=6.0)
    journey_price = forms.FloatField(min_value=0.0, max_value=10_000.0, initial=20.0)
    days_on_way_count = forms.IntegerField(min_value=0, max_value=30, initial=2)
    search_s = forms.IntegerField(min_value=1, max_value=_LONGEST_SEARCH_S, initial=_USUAL_SEARCH_S)
    stocks_stay = forms.BooleanField(required=False)

    WORDS = {
        "tree_price": marked("A tree more is worth"),
        "parcel_price": marked("A parcel costs"),
        "journey_price": marked("A journey costs"),
        "days_on_way_count": marked("Days a parcel takes"),
        "search_s": marked("Longest search, s"),
        "stocks_stay": marked("Stocks are not posted"),
    }

    def __init__(self, *given: Any, **named: Any) -> None:
        super().__init__(*given, **named)
        for name, words in self.WORDS.items():
            self.fields[name].label = say(words)

    def wishes(self, *, currency: str) -> SchemeWishes:
        """Return the terms of the plan, with what is usual where the form is not whole."""
        usual = {name: field.initial for name, field in self.fields.items()}
        chosen = {**usual, **(self.cleaned_data if self.is_valid() else {})}
        return SchemeWishes(
            tree_price=chosen["tree_price"],
            parcel_price=chosen["parcel_price"],
            journey_price=chosen["journey_price"],
            days_on_way_count=chosen["days_on_way_count"],
            stocks_may_move=not chosen["stocks_stay"],
            currency=currency,
            time_limit_s=float(chosen["search_s"]),
        )
