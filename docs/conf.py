"""Pages of the project, built without anything from another host: fonts of the system, formulas as MathML."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path
from typing import Any

from docutils.utils.math import MathError
from docutils.utils.math.latex2mathml import tex2mathml
from sphinx.application import Sphinx
from sphinx.util import logging

import setwright

sys.path.insert(0, str(Path(__file__).resolve().parent))
from reference import write_reference  # found beside this file

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


CHECKS = """# Every outside check

Each figure here stands in a document, a table, a worked example or the answer of an independent program, and is
computed anew whenever these pages are made. *seen*: read in the source named; *secondary*: read where another source
quotes it; *memory*: recalled, not read again; *derived*: follows from equations, by hand or by another program. An id
that begins with *calibration* says that the figure was in view when something was chosen: it validates nothing.

"""


def _write_checks(app: Sphinx) -> None:
    """Work out every outside check and write its page; with the tag `bare` one of an earlier build will do."""
    page = Path(app.srcdir) / "checks.md"
    if "bare" in app.tags:
        if not page.exists():
            page.write_text(CHECKS, encoding="utf-8")
        return
    script = Path(__file__).resolve().parents[1] / "tests" / "outside.py"
    done = subprocess.run(
        [sys.executable, str(script)], capture_output=True, text=True, encoding="utf-8", check=False
    )
    if done.returncode:
        logging.getLogger(__name__).warning("the outside checks could not be worked out: %s", done.stderr[-500:])
    page.write_text(CHECKS + done.stdout, encoding="utf-8")


def _write_reference(app: Sphinx) -> None:
    """Write the pages of fields and of the interface; with the tag `bare` they are left out."""
    if "bare" not in app.tags:
        write_reference(Path(app.srcdir))


def _left_out(app: Sphinx, config: Any) -> None:
    if "bare" in app.tags:
        config.exclude_patterns += ["fields/*", "api.md", "programs.md"]


def setup(app: Sphinx) -> dict[str, bool]:
    """Register the formula writer and the pages that are made with every build."""
    app.add_html_math_renderer("mathml", (_inline, None), (_block, None))
    app.connect("config-inited", _left_out)
    app.connect("builder-inited", _write_checks)
    app.connect("builder-inited", _write_reference)
    return {"parallel_read_safe": True, "parallel_write_safe": True}
