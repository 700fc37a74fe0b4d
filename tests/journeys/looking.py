"""What is wrong with a page that stands in a browser, in sentences; nothing where nothing is."""

import re
from collections.abc import Iterator, Mapping, Sequence
from typing import Any
from urllib.parse import urlsplit

from axe_playwright_python.sync_playwright import Axe
from django.urls import Resolver404, resolve
from playwright.sync_api import Page, Response

STANDARD = {
    "runOnly": {"type": "tag", "values": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]},
    "resultTypes": ["violations"],
}
"""The Web Content Accessibility Guidelines 2.2 at level AA, as axe names them; of what keeps to them no list is made."""

UNFILLED = re.compile(r"\bNone\b|\{\{|\{%")
"""What a template leaves on the page where it was not filled."""

LOOK = """
() => {
  const least = document.body.matches(".tablet, .bench") ? 48 : 24;
  const shown = (element) => element.checkVisibility({ visibilityProperty: true, opacityProperty: true })
    && element.getBoundingClientRect().width > 1;
  const height = (element) => {
    // A box to tick is as large as the words beside it, which tick it too.
    const words = element.matches("[type=checkbox], [type=radio]") ? [...element.labels] : [];
    return Math.max(...[element, ...words].map((each) => each.getBoundingClientRect().height));
  };
  const name = (element) => element.outerHTML.replace(/\\s+/g, " ").slice(0, 110);
  const targets = "a.button, button, input:not([type=hidden]), select, textarea, details.fold > summary";
  const wide = document.documentElement.scrollWidth - document.documentElement.clientWidth;
  const beyond = [...document.body.querySelectorAll("*")].filter(
    (each) => wide > 0 && each.getBoundingClientRect().right > document.documentElement.clientWidth + 0.5);
  return {
    headings: document.querySelectorAll("h1").length,
    words: document.body.innerText,
    wide,
    beyond: beyond.slice(-2).map(name),
    small: [...document.querySelectorAll("main :is(" + targets + ")")]
      .filter((each) => shown(each) && height(each) < least)
      .map((each) => `${height(each)} px of ${least}: ${name(each)}`),
    squeezed: [...document.querySelectorAll("main .card")]
      .filter((each) => shown(each) && parseFloat(getComputedStyle(each).paddingLeft) < 8)
      .map(name),
    unreadable: [...document.querySelectorAll("main svg:is(.drawing, .cut-away, .tapes) text")]
      .filter((each) => shown(each) && parseFloat(getComputedStyle(each).fontSize) * each.getScreenCTM().a < 9)
      .map((each) => each.textContent),
    // By attribute: a link in a drawing has another property of that name.
    leads: [...document.querySelectorAll("a[href]")].map((each) => [
      "GET", new URL(each.getAttribute("href"), document.baseURI).href]).concat(
      // By attribute: a field may bear the name of a property.
      [...document.querySelectorAll("form")].map((each) => [
        (each.getAttribute("method") ?? "get").toUpperCase(),
        new URL(each.getAttribute("action") ?? "", document.baseURI).href])),
  };
}
"""


def wrong_headers(headers: Mapping[str, str]) -> Iterator[str]:
    """A policy for scripts and styles that is there and strict, and no copy in any cache."""
    policy = headers.get("content-security-policy", "")
    if "default-src 'none'" not in policy or "unsafe" in policy:
        yield f"its content policy is {policy!r}"
    if headers.get("cache-control") != "no-store":
        yield f"a cache may keep it: {headers.get('cache-control')!r}"


def wrong_at_this_size(page: Page) -> Iterator[str]:
    """What depends on the size of the screen: nothing beyond an edge, nothing too small for a finger or an eye."""
    seen = page.evaluate(LOOK)
    if seen["wide"] > 0:
        yield f"it is {seen['wide']} px too wide: {seen['beyond']}"
    yield from (f"too small for a finger: {each}" for each in seen["small"])
    yield from (f"its words touch the edge of their card: {each}" for each in seen["squeezed"])
    if seen["unreadable"]:
        yield f"words of a drawing are too small to read: {seen['unreadable'][:4]}"


def wrong_in_words(page: Page) -> Iterator[str]:
    """One heading, and no gap that a template left."""
    seen = page.evaluate(LOOK)
    if seen["headings"] != 1:
        yield f"it has {seen['headings']} first headings"
    if gap := UNFILLED.search(seen["words"]):
        yield f"it says {seen['words'][max(0, gap.start() - 40) : gap.end() + 20]!r}"


def wrong_for_assistive_technology(page: Page) -> Iterator[str]:
    for each in Axe().run(page, options=STANDARD).response["violations"]:
        yield f"{each['id']}: {[node['html'][:110] for node in each['nodes'][:2]]}"


def leads_astray(page: Page, roles: Sequence[str]) -> Iterator[str]:
    """Links and forms that lead to an address which is not there, or not open to whoever holds these roles."""
    for method, address in page.evaluate(LOOK)["leads"]:
        there = urlsplit(address)
        if there.scheme == "tel":
            continue
        if there.netloc != urlsplit(page.url).netloc:
            yield f"it leads elsewhere: {address}"
            continue
        try:
            view: Any = resolve(there.path).func
        except Resolver404:
            yield f"it leads nowhere: {method} {there.path}"
            continue
        # Whoever is nobody yet is led to the sign-in.
        if roles and not view.open_to & {*roles, "everybody", "staff"}:
            yield f"it offers what it then refuses: {method} {there.path}"


def wrong_with(page: Page, answer: Response | None, roles: Sequence[str]) -> Iterator[str]:
    """Everything about a page that was just loaded, at the size it was loaded at."""
    assert answer is not None
    if answer.status != 200:
        yield f"it answers {answer.status}"
    yield from wrong_headers(answer.all_headers())
    yield from wrong_in_words(page)
    yield from wrong_at_this_size(page)
    yield from leads_astray(page, roles)
    yield from wrong_for_assistive_technology(page)
