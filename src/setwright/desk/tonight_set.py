"""One set tonight: frost, water, ice and law put together, with what would mend it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import tzinfo

import numpy as np

from setwright.basis.say import Say
from setwright.basis.verdict import Answer, Standing, all_of
from setwright.desk import tonight_document as doc
from setwright.desk.describe import provenance
from setwright.desk.figure import water_figure
from setwright.desk.hour_figures import frost_part, level_part, number
from setwright.desk.tonight_cover import cover_of
from setwright.desk.wording import render, sentence, show
from setwright.line.assemble import Job
from setwright.sets.context import Context
from setwright.sets.evening_frost import HARD, CoverTried, FrostEvening, best_cover, covers_tried
from setwright.sets.evening_frost import frost_evening as frost_of
from setwright.sets.evening_water import Ice, WaterEvening
from setwright.sets.evening_water import water_evening as water_of
from setwright.sets.lawful import facts_of, law_answers
from setwright.sets.level import level_share
from setwright.sets.model import Rig
from setwright.sets.naming import cover_name, plain_name
from setwright.sets.result import LawAnswer, Origin
from setwright.sets.treated import cover_words
from setwright.water.bands import PanState
from setwright.water.reset import Act

FIRES: dict[Standing, doc.Fires] = {
    Standing.SOUND: "fires",
    Standing.THIN: "doubtful",
    Standing.FAILS: "will not fire",
    Standing.CANNOT_TELL: "cannot tell",
}
SUBMERGES: dict[Answer, doc.Submerges] = {
    Answer.MEETS: "submerges", Answer.BREAKS: "does not", Answer.CANNOT_TELL: "cannot tell",
}  # fmt: skip


@dataclass(frozen=True, eq=False)
class SetFound:
    """What was computed for one set: frost on land, water in water, covers that would keep it, answers of the law."""

    context: Context
    rig: Rig
    frost: FrostEvening | None
    water: WaterEvening | None
    cover: CoverTried | None
    law: tuple[LawAnswer, ...]

    @property
    def lawful(self) -> Answer:
        """Answer of all binding rules together."""
        return all_of(answer.answer for answer in self.law if not answer.profile)


def found_of(job: Job, key: str) -> SetFound:
    """Compute one set of the evening."""
    context, rig = job.contexts[key], job.stated[key]
    person = job.person
    facts = facts_of(context, rig, traps_out=person.traps_out, tag_name=person.tag_name)
    law = tuple(law_answers(context, person.packs, facts))
    if context.site.medium == "water":
        return SetFound(context, rig, None, water_of(context, rig), None, law)
    frost = frost_of(context, rig)
    cover = None
    if frost is not None and frost.check.standing in (Standing.THIN, Standing.FAILS):
        cover = best_cover(covers_tried(context, rig, job.options.covers))
    return SetFound(context, rig, frost, None, cover, law)


def evening_set(job: Job, found: SetFound) -> doc.EveningSet:
    """One set as its part of the document."""
    context, rig, site = found.context, found.rig, found.context.site
    zone = job.book.line.zone
    fires, cause = _fires(found)
    works, submerges = _works(found), _submerges(found)
    alive = found.water is None or found.water.under is not Answer.MEETS
    limit = context.check.limit
    mends = _mends(found)
    return doc.EveningSet(
        number=site.number,
        site=site.key,
        name=site.name,
        medium="water" if site.medium == "water" else "land",
        target=plain_name(context.target),
        trap=rig.trap.trap_id,
        cover=cover_words(rig.cover, rig.treated) if site.medium == "land" else "water",
        fires=fires,
        works=works,
        submerges=submerges,
        holds_alive=alive,
        law=found.lawful.value,
        check_by=None if limit is None else limit.astimezone(zone).isoformat(timespec="minutes"),
        seen=context.check.visit.astimezone(zone).isoformat(timespec="minutes"),
        say=_say(found, submerges, zone),
        cause=sentence(render(cause)),
        cause_under=_under_why(found.water),
        mend=" ".join(sentence(render(mend)) for mend in mends),
        frost=None if found.frost is None else frost_part(found.frost, zone),
        level=None if found.water is None else level_part(context, found.water),
        figure=water_figure(context, rig) if site.medium == "water" else None,
        ice=_ice(None if found.water is None else found.water.ice),
        needs=cover_of(found),
        provenance=provenance(_origins(found)),
    )


def _fires(found: SetFound) -> tuple[doc.Fires, Say | None]:
    """Does it fire, by frost on land and by ice over the pan in water, and why."""
    if found.water is not None:
        ice = found.water.ice
        if ice is None:
            return ("fires", None) if found.water.ice_why is None else ("cannot tell", found.water.ice_why)
        hours = found.context.check.hours
        first, last = (float(np.asarray(hour)) for hour in (ice.freeze.first, ice.freeze.last))
        if np.isnan(first) or np.isnan(last):
            return "cannot tell", Say("the weather has a gap before the ice reaches the pan")
        when = Say("ice may reach the pan {first:time} from now at the earliest", first=first * 3600.0)
        likely = float(np.asarray(ice.freeze.likely))
        if np.isfinite(likely):
            when = Say("{when:say}, {likely:time} as a rule", when=when, likely=likely * 3600.0)
        if last <= hours:
            return "will not fire", Say("{when:say}; by the check it is frozen in", when=when)
        return ("doubtful", when) if first <= hours else ("fires", None)
    if found.frost is None:
        return "fires", None
    check = found.frost.check
    fires = FIRES[check.standing]
    if fires in ("fires", "cannot tell") or found.frost.cause is None:
        return fires, check.why
    return fires, Say("{cause:say}: {why:say}", cause=found.frost.cause, why=check.why)


def _works(found: SetFound) -> doc.Works | None:
    if found.water is None:
        return None
    words: dict[PanState, doc.Works] = {
        PanState.WORKS: "works", PanState.DEEP: "too deep", PanState.SHALLOW: "too shallow", PanState.DRY: "dry",
        PanState.UNKNOWN: "cannot tell",
    }  # fmt: skip
    return words[found.water.state]


def _submerges(found: SetFound) -> doc.Submerges | None:
    return None if found.water is None or found.water.under is None else SUBMERGES[found.water.under]


def _say(found: SetFound, submerges: doc.Submerges | None, zone: tzinfo) -> str:
    """The answer in one or two sentences, with hours and band."""
    parts = []
    frost, water = found.frost, found.water
    if frost is not None and not np.isnan(frost.lost).any():
        middle, low, high = (float(x) for x in np.quantile(frost.lost, (0.5, 0.05, 0.95)))
        if high < 0.5:
            parts.append("No hour lost to frost")
        else:
            first = frost.first() or frost.first(HARD)
            when = "" if first is None else f", from {first.astimezone(zone):%a %H:%M} on"
            parts.append(
                f"{middle:.0f} of {float(frost.widths.sum()):.0f} h lost to frost ({low:.0f} to {high:.0f}){when}; "
                f"{100 * float(np.median(frost.visits_lost)):.0f} of 100 of the target's visits fall into them"
            )
    if water is not None and water.shares is not None:
        share = float(np.mean(water.works))
        told = "" if water.level_known else "; no level record: taken as steady"
        parts.append(f"Pan in the foot's window {100 * share:.0f} of 100 hours{told}")
    if submerges == "submerges":
        parts.append("Holds under at every level of the wait, as far as the record goes")
    elif submerges is not None:
        limit = found.context.check.limit
        due = "" if limit is None else f", to be seen by {limit.astimezone(zone):%a %d %b %H:%M}"
        why = (
            "It does not hold under at every level"
            if submerges == "does not"
            else "Nobody can tell that it holds under"
        )
        parts.append(f"{why}: in law and welfare a set that holds alive{due}")
    if found.lawful is Answer.BREAKS:
        broken = next(answer for answer in found.law if answer.answer is Answer.BREAKS and not answer.profile)
        parts.append(f"Breaks the law pack: {render(broken.reason)}")
    return " ".join(sentence(part) for part in parts)


def _under_why(water: WaterEvening | None) -> str:
    """What stands against its holding under, the gravest first."""
    if water is None:
        return ""
    order = (Standing.FAILS, Standing.CANNOT_TELL, Standing.THIN)
    ranked = sorted(water.under_why, key=lambda check: order.index(check.standing))
    grave = [check for check in ranked if check.standing is not Standing.THIN or check.name == "bed"] or ranked
    return " ".join(sentence(f"{check.name}: {render(check.why)}") for check in grave)


def _mends(found: SetFound) -> list[Say]:
    """What would mend it, each computed anew."""
    told: list[Say] = []
    if found.cover is not None and found.frost is not None:
        lost = float(np.median(found.cover.lost))
        name = cover_name(found.cover.key)
        told.append(
            Say("bedded anew in {cover:word} it loses {lost:number} h", cover=name, lost=lost)
            if lost < float(np.median(found.frost.lost))
            else Say("no cover that is carried keeps it in order")
        )
    water = found.water
    if water is not None:
        if water.deeper is not None:
            told.append(water.deeper)
        elif water.advice.act is not Act.LEAVE:
            told.append(water.advice.say)
        if water.cures:
            told.append(Say("to hold under: {cure:say}", cure=water.cures[0].say))
        elif water.under is Answer.BREAKS:
            told.append(Say("nothing at this place makes it hold under: rig it to hold alive, or pull it"))
    return told


def _ice(found: Ice | None) -> doc.IcePart | None:
    if found is None:
        return None
    freeze = found.freeze
    least, most = float(found.course.least[..., -1]), float(found.course.most[..., -1])
    return doc.IcePart(
        first=number(float(freeze.first)), likely=number(float(freeze.likely)), last=number(float(freeze.last)),
        least=round(least, 4), most=round(most, 4),
        guideline=f"Computed, not measured: {show(least, 'length')} to {show(most, 'length')} by the check. "
        f"{sentence(render(found.verdict.say))}",
    )  # fmt: skip


def _origins(found: SetFound) -> list[Origin]:
    if found.frost is not None:
        return list(found.frost.check.origins)
    if found.water is not None:
        _, check = level_share(found.context)
        return [] if check is None else list(check.origins)
    return []
