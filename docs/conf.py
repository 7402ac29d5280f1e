"""Pages of the project, built without anything from another host: fonts of the system, formulas as MathML."""

from __future__ import annotations

from typing import Any

from docutils.utils.math import MathError
from docutils.utils.math.latex2mathml import tex2mathml
from sphinx.application import Sphinx
from sphinx.util import logging

import setwright

project = "setwright"
author = "the setwright contributors"
project_copyright = author
version = release = setwright.__version__

extensions = ["myst_parser"]
myst_enable_extensions = ["dollarmath", "deflist"]
myst_heading_anchors = 3
root_doc = "index"
exclude_patterns = ["_build"]
html_theme = "furo"
html_title = "setwright"
html_copy_source = False
html_show_sphinx = False
html_math_renderer = "mathml"
html_theme_options: dict[str, list[Any]] = {"footer_icons": []}
pygments_style = "friendly"


def _markup(source: str, node: Any, *, block: bool) -> str:
    try:
        return str(tex2mathml(source, as_block=block))
    except MathError as error:
        logging.getLogger(__name__).warning("a formula that cannot be shown: %s", error, location=node)
        return f"<code>{source}</code>"


def _inline(visitor: Any, node: Any) -> None:
    from docutils import nodes

    visitor.body.append(_markup(node.astext(), node, block=False))
    raise nodes.SkipNode


def _block(visitor: Any, node: Any) -> None:
    from docutils import nodes

    visitor.body.append(f'<div class="math">{_markup(node.astext(), node, block=True)}</div>')
    raise nodes.SkipNode


def setup(app: Sphinx) -> dict[str, bool]:
    """Register the formula writer."""
    app.add_html_math_renderer("mathml", (_inline, None), (_block, None))
    return {"parallel_read_safe": True, "parallel_write_safe": True}
