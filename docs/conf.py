"""How the documents become a site. Run `make docs`; every warning is an error.

The site loads nothing from elsewhere: equations are MathML, made here, and the type is the
program's own.
"""

import os
from pathlib import Path

import django
from docutils import nodes
from docutils.utils.math.latex2mathml import tex2mathml
from sphinx.application import Sphinx
from sphinx.writers.html5 import HTML5Translator

_ROOT = Path(__file__).parent.parent
os.environ.setdefault("DJANGO_SETTINGS_MODULE", "graftwright.web.settings")
os.environ.setdefault("GRAFTWRIGHT_NOTEBOOK", str(_ROOT / "build" / "no-notebook"))
django.setup()

project = "Graftwright"
author = "The Graftwright authors"
copyright = "the Graftwright authors, MIT licence"  # noqa: A001 (the name the builder reads)
language = "en_GB"
extensions = ["myst_parser", "sphinx.ext.autodoc", "sphinx.ext.napoleon"]
exclude_patterns = ["_build"]
root_doc = "index"

myst_enable_extensions = ["dollarmath"]
myst_heading_anchors = 4
# links to files of the repository that are no pages of the site
myst_url_schemes = ["http", "https"]

html_theme = "alabaster"
html_theme_options = {
    "description": "The notebook and the arithmetic of a fruit-tree grafter's year.",
    "fixed_sidebar": False,
    "show_powered_by": False,
    "sidebar_width": "15rem",
    "page_width": "70rem",
}
html_static_path = ["site", "../src/graftwright/web/static/fonts"]
html_css_files = ["site.css"]
html_show_sourcelink = False
html_copy_source = False
html_math_renderer = "mathml"

autodoc_typehints = "signature"
autodoc_member_order = "bysource"
autodoc_default_options = {"members": True, "show-inheritance": False}
autodoc_preserve_defaults = True
napoleon_google_docstring = False
napoleon_custom_sections = [("Source", "notes_style"), ("Sources", "notes_style")]
napoleon_use_rtype = False
add_module_names = False
python_use_unqualified_type_names = True
nitpicky = False


def _inline_equation(writer: HTML5Translator, node: nodes.math) -> None:
    writer.body.append(tex2mathml(node.astext()))
    raise nodes.SkipNode


def _shown_equation(writer: HTML5Translator, node: nodes.math_block) -> None:
    writer.body.append(f'<div class="equation">{tex2mathml(node.astext(), as_block=True)}</div>')
    raise nodes.SkipNode


def setup(app: Sphinx) -> None:
    """Teach the builder to write equations without a script."""
    app.add_html_math_renderer(
        "mathml",
        inline_renderers=(_inline_equation, None),
        block_renderers=(_shown_equation, None),
    )
