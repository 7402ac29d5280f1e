"""Which traps to buy for the line: what one more of a kind brings, which sites lack one, how few kinds would do."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from setwright.basis.errors import BadInput
from setwright.basis.verdict import Answer, Standing
from setwright.desk import buying_document as doc
from setwright.desk.plan import read_job
from setwright.desk.wording import render, sentence
from setwright.line.assemble import Job
from setwright.line.buying import Chance, Market, market
from setwright.sets.model import SiteFacts
from setwright.sets.naming import plain_name
from setwright.sets.rank import score

DRAWS = 60
USUAL, MOST = 6, 24
SHARE = 0.9
# Of what is held at its site: a gain below this is no more than the figures of a pattern are worth.
TELLS = 0.05
NOTES = (
    "Targets held in 100 nights of every site together, the middle of the draws; visits are guesses from sign until "
    "the plan has learned from a log.",
    "Every pan is taken as set to its animal, of traps owned and bought alike, and a bought one as tagged, without "
    "teeth, with a swivel at its base. Its figures are those of its pattern: comparative until it is read.",
    "Chain, anchor and bed stay as the book has them; what they lack is told at the set. Prices are yours to know.",
    "Law and welfare are gates: a trap that breaks either, or whose set fails, is not counted at a site at all.",
)


def buying(
    book: Path, count: int = USUAL, *, draws: int = DRAWS, progress: Callable[[str], None] | None = None
) -> doc.Buying:
    """What one more trap, and then another, would bring to a line.

    Parameters
    ----------
    book : Path
        Line book.
    count : int
        How many traps to buy at most.
    draws : int
        Number of draws.
    progress : callable, optional
        Called with the name of every site.

    Raises
    ------
    BadInput
        When the book cannot be used, or the number of traps is none.
    """
    if not 1 <= count <= MOST:
        raise BadInput("no number of traps to buy", field="count", found=count, allowed=f"1 to {MOST}")
    job = read_job(book, draws=draws)
    found = market(job, count, share=SHARE, progress=progress)
    sites = [_site(job, found, row, site) for row, site in enumerate(job.sites)]
    buys = _buys(job, found)
    return doc.Buying(
        schema=doc.SCHEMA, asked=count, say=_say(found, sites, buys), limit=found.limit, sites=sites, buys=buys,
        few=_few(job, found), notes=list(NOTES),
    )  # fmt: skip


def _owned(found: Market, name: str) -> int:
    return sum(offer.owned for offer in found.offers if offer.name == name)


def _buys(job: Job, found: Market) -> list[doc.Buy]:
    made, before = [], found.now
    for order, one in enumerate(found.bought, start=1):
        # The site that the new trap is for: where its kind stands now and did not stand before.
        rows = [row for row, kind in enumerate(one.after.choice) if kind == one.kind and before.choice[row] != kind]
        site = job.sites[rows[0]] if rows else None
        name = found.offers[one.kind].name
        here = found.chances[rows[0], one.kind].held if rows else 0.0
        made.append(
            doc.Buy(
                order=order, name=name, owned=_owned(found, name), sites_more=one.sites, held_more=100.0 * one.held,
                held_after=100.0 * one.after.worth, goes_to="" if site is None else f"{site.number} {site.name}",
                site="" if site is None else site.key, told_apart=one.sites > 0 or one.held > TELLS * here,
            )
        )  # fmt: skip
        before = one.after
    return made


def _few(job: Job, found: Market) -> list[doc.Covered]:
    made = []
    for kind in found.few:
        numbers = []
        for row, site in enumerate(job.sites):
            mine = {k: one.held for (r, k), one in found.chances.items() if r == row and one.fits}
            if kind in mine and mine[kind] >= SHARE * max(mine.values()):
                numbers.append(site.number)
        name = found.offers[kind].name
        made.append(doc.Covered(name=name, owned=_owned(found, name), sites=numbers))
    return made


def _site(job: Job, found: Market, row: int, site: SiteFacts) -> doc.SiteFit:
    mine = {kind: one for (r, kind), one in found.chances.items() if r == row}

    def best(*, new: bool) -> tuple[int, Chance] | None:
        fitting = [(kind, one) for kind, one in mine.items() if one.fits and found.offers[kind].new == new]
        return max(fitting, key=lambda pair: pair[1].held, default=None)

    owned, bought = best(new=False), best(new=True)
    best_any = owned or bought
    why = "" if owned is not None else _why(mine, found)
    return doc.SiteFit(
        site=site.key, number=site.number, name=site.name, target=plain_name(job.contexts[site.key].target),
        owned_best="" if owned is None else found.offers[owned[0]].name,
        owned_held=None if owned is None else 100.0 * owned[1].held,
        buy_best="" if bought is None else found.offers[bought[0]].name,
        buy_held=None if bought is None else 100.0 * bought[1].held, why=why,
        open=best_any is not None and _open(best_any[1]),
    )  # fmt: skip


def _open(one: Chance) -> bool:
    """Whether law, welfare or the chain leaves the best of a site open."""
    answers = (one.result.lawful, one.result.welfare)
    return Answer.CANNOT_TELL in answers or one.result.standing is Standing.CANNOT_TELL


def _why(mine: dict[int, Chance], found: Market) -> str:
    """Why none of the owned kinds fits: what keeps the one out that would hold most."""
    owned = [one for kind, one in mine.items() if not found.offers[kind].new]
    if not owned:
        return "No trap of the outfit is fit to be set."
    result = max((one.result for one in owned), key=score)
    broken = next((one for one in result.law if one.answer is Answer.BREAKS and not one.profile), None)
    gate = next((one for one in result.gates if one.answer is Answer.BREAKS), None)
    say = broken.reason if broken is not None else gate.reason if gate is not None else result.weakest.governing.why
    return sentence(render(say))


def _say(found: Market, sites: list[doc.SiteFit], buys: list[doc.Buy]) -> str:
    words = [f"Of {len(sites)} sites {found.now.filled} can have a fitting trap of the outfit at once."]
    lacking = [f"{one.number} {one.name}" for one in sites if not one.owned_best and one.buy_best]
    barred = [str(one.number) for one in sites if not one.owned_best and not one.buy_best]
    if lacking:
        words.append(f"None that you own fits {', '.join(lacking)}; one to buy would.")
    if barred:
        words.append(f"No trap mends what keeps set{'' if len(barred) == 1 else 's'} {', '.join(barred)} out.")
    first = next((one for one in buys if one.told_apart), None)
    if first is None:
        return " ".join([*words, "No trap to buy brings more than the model can tell from nothing."])
    gain = f"{first.sites_more} site more" if first.sites_more else f"{first.held_more:.1f} more held in 100 nights"
    return " ".join([*words, f"The first to buy: {first.name}, {gain}."])
