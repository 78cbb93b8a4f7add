"""The site of the documents builds without a warning; the front door has its anchors, links lead somewhere, nothing comes from elsewhere."""

import html
import json
import os
import re
import subprocess
import sys
import urllib.parse

import docs_lint
import pytest
import tree


@pytest.fixture(scope="module")
def site(tmp_path_factory):
    """What docs/build.sh makes; warnings are errors there."""
    for package in ("sphinx", "myst_parser", "furo"):
        pytest.importorskip(package)
    folder = tmp_path_factory.mktemp("docs") / "site"
    done = subprocess.run(["bash", "docs/build.sh", str(folder)], cwd=tree.ROOT, capture_output=True, text=True, env={**os.environ, "PYTHON": sys.executable})
    assert done.returncode == 0, done.stderr[-3000:]
    return folder


@pytest.fixture(scope="module")
def texts(site):
    return {path.relative_to(site).as_posix(): path.read_text(encoding="utf-8") for path in site.rglob("*.html")}


def ids(text):
    return set(re.findall(r'\bid="([^"]+)"', text))


def dead_links(texts, exists):
    """Relative links of pages whose file or anchor is not there."""
    found, known = [], {name: ids(text) for name, text in texts.items()}
    for page, text in texts.items():
        for link in set(re.findall(r'<a\b[^>]*\bhref="([^"]+)"', text)):
            path, _, anchor = html.unescape(link).partition("#")
            if re.match(r"[a-z]+:", path):
                continue
            folder = page.rpartition("/")[0]
            name = os.path.normpath(os.path.join(folder, urllib.parse.unquote(path))) if path else page
            if name not in known:
                if not exists(name):
                    found.append(f"{page}: {link}")
            elif anchor and urllib.parse.unquote(anchor) not in known[name]:
                found.append(f"{page}: {link}")
    return sorted(found)


def fetched(text):
    """What a browser would fetch from elsewhere to show a page or to follow a style."""
    loads = re.findall(r'<(?:script|img|iframe|source)\b[^>]*\bsrc="([^"]+)"', text) + re.findall(r'<link\b(?=[^>]*rel="(?:stylesheet|preload|preconnect|icon)")[^>]*href="([^"]+)"', text)
    loads += re.findall(r'url\(\s*["\']?([^"\')]+)', text) + re.findall(r'@import\s+["\']([^"\']+)', text)
    return [target for target in loads if re.match(r"(?:https?:)?//", target)]


def test_every_call_of_the_front_door_has_an_anchor_in_both_languages(texts):
    everything = set().union(*(ids(text) for name, text in texts.items() if name.startswith("reference/")))
    calls = {call["name"] for call in json.loads((tree.ROOT / "bindings" / "front_door.json").read_text())}
    assert len(calls) > 20
    assert [f"{language}-{name}" for name in sorted(calls) for language in ("cpp", "python") if f"{language}-{name}" not in everything] == []
    assert all(f'#{language}-{name}"' in texts["reference/index.html"] for name in calls for language in ("cpp", "python"))


def test_every_public_class_and_function_has_an_anchor(texts):
    everything = set().union(*(ids(text) for name, text in texts.items() if name.startswith("reference/")))
    wanted = {e.name for e in docs_lint.all_entries() if not e.owner and e.public and e.kind in ("class", "function")}
    assert len(wanted) > 500 and sorted(name for name in wanted if f"cpp-{name}" not in everything) == []


def test_links_of_the_site_lead_somewhere(site, texts):
    assert dead_links(texts, lambda name: (site / name).exists()) == []


def test_nothing_is_fetched_from_elsewhere(site, texts):
    styles = {path.name: path.read_text(encoding="utf-8") for path in site.rglob("*.css")}
    assert styles and {name: found for name, text in {**texts, **styles}.items() if (found := fetched(text))} == {}


def test_every_page_of_the_repository_is_on_the_site_and_code_leads_to_the_reference(texts):
    assert {page.removesuffix(".md") + ".html" for page in docs_lint.pages.pages(tree.ROOT)} <= texts.keys()
    assert re.search(r'href="\.\./reference/forecast\.html#cpp-forecast_layers"[^>]*><code', texts["docs/tables.html"])


def test_the_catalogue_has_every_entry(texts):
    data = tree.ROOT / "libseal" / "data"
    names = [name for path in (data / "catalogue").glob("*.json") for name in json.loads(path.read_text())["values"]]
    there = ids(texts["reference/values.html"])
    assert len(names) > 2500 and [name for name in names if f"value-{name}" not in there] == []
    assert "ASTM E1049-85" in texts["reference/bibliography.html"] and "Fischer &amp; Ketola 2004" in texts["reference/bibliography.html"]


def test_the_readers_of_this_test_see_faults():
    pages = {"a.html": '<p id="x"><a href="b/c.html#y">1</a><a href="#x">2</a><a href="https://e.org/#z">3</a>', "b/c.html": '<a id="y" href="../a.html#no">4</a><a class="k" href="d.html">5</a>'}
    assert dead_links(pages, lambda name: False) == ["b/c.html: ../a.html#no", "b/c.html: d.html"]
    assert fetched('<script src="//cdn/x.js"></script><link rel="stylesheet" href="https://f/c.css"/>@import "http://g"; url(http://h/i)') == \
        ["//cdn/x.js", "https://f/c.css", "http://h/i", "http://g"]
    assert fetched('<script src="x.js"></script><a href="https://f/">ok</a>') == []
