"""Settings of Sphinx for the site; docs/build.sh calls it with the folder that docs/stage.py made."""

import json
import pathlib
import re

from docutils import nodes
from pygments.lexers.special import TextLexer
from sphinx.transforms.post_transforms import SphinxPostTransform

HERE = pathlib.Path(__file__).resolve().parent
VERSION = (HERE.parent / "libseal" / "include" / "libseal" / "version.hpp").read_text(encoding="utf-8")

project = "libseal"
author = "the authors of libseal"
copyright = "the authors of libseal, MIT licence"  # noqa: A001  the name that Sphinx asks for
release = re.search(r"LIBSEAL_VERSION \"([\d.]+)\"", VERSION)[1]
extensions = ["myst_parser"]
root_doc = "index"
myst_heading_anchors = 4
smartquotes = False  # words in quotes are values to type
highlight_language = "none"  # of blocks that name none
html_theme = "furo"  # own styles and scripts, fonts of the system: nothing is fetched by a reader
html_title = f"libseal {release}"
html_static_path = [str(HERE / "static")]
html_css_files = ["site.css"]
html_js_files = [("catalogue.js", {"defer": "defer"})]
html_use_index = False
html_domain_indices = False
html_copy_source = False
html_show_sphinx = False


class CodeLinks(SphinxPostTransform):
    """`name` in the text of a page leads to the reference, where that has the name."""

    default_priority = 700

    def run(self, **kwargs):
        names = self.app.config.reference_names
        if self.app.builder.format != "html" or not names:
            return
        for literal in list(self.document.findall(nodes.literal)):
            name = re.sub(r"^libseal(\.|::)|\(.*\)$", "", literal.astext()).replace("::", ".")
            inside = literal.parent
            while inside is not None and not isinstance(inside, (nodes.reference, nodes.title)):
                inside = inside.parent
            if name not in names or inside is not None or len(name) < 4:
                continue
            page, anchor = names[name]
            if page == self.env.docname:
                uri = f"#{anchor}"
            else:
                uri = f"{self.app.builder.get_relative_uri(self.env.docname, page)}#{anchor}"
            literal.replace_self(nodes.reference("", "", literal.deepcopy(), refuri=uri, internal=True))


def read_names(app):
    path = pathlib.Path(app.srcdir) / "reference" / "names.json"
    app.config.reference_names = json.loads(path.read_text(encoding="utf-8")) if path.exists() else {}


def setup(app):
    app.add_config_value("reference_names", {}, "")
    for plain in ("csv", "ics"):  # shown as they are
        app.add_lexer(plain, TextLexer)
    app.connect("builder-inited", read_names)
    app.add_post_transform(CodeLinks)
    return {"parallel_read_safe": True, "parallel_write_safe": True}
