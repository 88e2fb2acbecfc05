"""Figures as drawings, fields and scripts need them; what is read goes by graftwright.tongue."""

DECIMAL_SEPARATOR = "."
THOUSAND_SEPARATOR = ","
DATE_INPUT_FORMATS = ["%Y-%m-%d", "%d.%m.%Y", "%d.%m.%y"]
