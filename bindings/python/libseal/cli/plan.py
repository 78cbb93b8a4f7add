"""libseal plan: what is to be done on coaches, in which order, when and by whom."""

from __future__ import annotations

import datetime
import json

import click

import libseal

from . import codes, options
from .forecast import forecast_of
from .inputs import Inputs, chosen, load
from .output import Output, table


def money(low: int, high: int, currency: str) -> str:
    return f"{libseal.money_text(low, currency)} to {libseal.money_text(high, currency)}"


def plans_of(inputs: Inputs, shop: libseal.Shop, forecast: libseal.Forecast, coaches: list[libseal.Coach],
             until: datetime.date | None) -> list[libseal.WorkPlan]:
    return [libseal.plan_work(coach, [f for f in inputs.findings if f.coach == coach.id], forecast, shop, inputs.as_of,
                              due_before=until, work_done=inputs.work_done) for coach in coaches]


def show_plan(output: Output, plan: libseal.WorkPlan) -> None:
    output.say(f"\n{plan.coach}: {len(plan.tasks)} task{'s' if len(plan.tasks) != 1 else ''}, {plan.minutes.low / 60:.1f} to {plan.minutes.high / 60:.1f} h of work, "
               f"{money(plan.total.low, plan.total.high, plan.currency)} with tax")
    output.say(table([[t.joint or t.part, t.action, t.family, str(t.due), t.urgency] for t in plan.tasks],
                     ["joint", "action", "family", "due", "urgency"]))
    for caution in plan.cautions:
        output.say(f"  caution: {caution.text}")
    output.say(f"  {plan.closing}")
    for warning in plan.warnings:
        output.note(f"{plan.coach}: {warning}")


def show_schedule(output: Output, schedule: libseal.Schedule, plans: list[libseal.WorkPlan], shop: libseal.Shop) -> None:
    output.say(f"\nschedule: {schedule.outcome} ({schedule.stopped})")
    rows = []
    for time in schedule.steps:
        plan = plans[time.booking]
        step = plan.steps[time.step]
        who = ", ".join(shop.people[p].id for p in time.people)
        rows.append([str(time.start).replace("T", " ")[:16], str(time.end).replace("T", " ")[:16], plan.coach, step.joint, step.kind, who])
    output.say(table(rows, ["start", "end", "coach", "joint", "step", "by"]))
    for text in [*schedule.obstacles, *schedule.relaxations]:
        output.say(f"  {text}")


@click.command(short_help="work plan and schedule of coaches")
@options.place
@options.as_of
@options.coaches
@options.shop
@options.findings
@options.work_done
@click.option("--due-before", type=options.DAY, metavar="DATE", help="Take in what comes due before this day.")
@click.option("--start", type=options.DAY, metavar="DATE", help="Schedule the work from this day on.")
@click.option("--work-limit", type=click.IntRange(1), default=200, show_default=True, metavar="N", help="Schedules to generate.")
@options.threads
@options.command
def plan(output: Output, place: str, as_of: datetime.date | None, coaches: tuple[str, ...], shop: str | None, findings: str | None,
         work_done: str | None, due_before: datetime.date | None, start: datetime.date | None, work_limit: int, threads: int) -> int:
    """What is to be done on coaches, in which order, with what; with --start
    also when and by whom.

    PLACE is a folder, a fleet, the file of one coach, or - for standard
    input. Exit code 1 if --start is given and no schedule was found.
    """
    inputs = load(output, place, as_of=as_of, findings=findings, work_done=work_done, shop=shop, need_shop=True)
    assert inputs.shop is not None
    if start is not None and start < inputs.as_of:
        raise codes.CommandError(codes.USAGE, [codes.problem(f"a day from --as-of {inputs.as_of} on", str(start), field="--start",
                                                             hint="what was done before that day belongs into work_done")])
    forecast = forecast_of(output, inputs, 5, threads)
    plans = plans_of(inputs, inputs.shop, forecast, chosen(inputs.fleet, coaches), due_before)
    output.result = {"as_of": inputs.as_of, "plans": [json.loads(libseal.work_plan_json(p)) for p in plans], "schedule": None}
    for one in plans:
        show_plan(output, one)
    busy = [p for p in plans if p.steps]
    if start is None or not busy:
        if start is not None:
            output.note("nothing to schedule")
        return codes.OK
    with output.progress() as progress:
        found = libseal.schedule([libseal.Booking(p) for p in busy], inputs.shop, start, work_limit=work_limit, progress=progress)
    output.result["schedule"] = json.loads(libseal.schedule_json(found, busy, inputs.shop))
    show_schedule(output, found, busy, inputs.shop)
    return codes.OK if found.outcome in ("optimal", "feasible") else codes.BAD_INPUT
