"""How the trade's figures read on a page."""

from django import template

register = template.Library()
