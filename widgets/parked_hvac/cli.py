"""The commands: the course without a screen, and lists for authors and outside checks.

Every command has ``--help`` and ``--json``. Exit status: 0 done, 1 the work falls short, 2 bad input, with
one sentence on standard error.
"""

from __future__ import annotations

import sys
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

if TYPE_CHECKING:
    from parked_hvac.job.attempt import Attempt

_JSON = click.option("--json", "as_json", is_flag=True, help="Print JSON for a program.")
_ATTEMPT = click.Path(path_type=Path)


class _Commands(click.Group):
    """The commands of this file, and those of the classroom, which load only when asked for."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        return sorted([*super().list_commands(ctx), "class"])

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        if cmd_name == "class":
            from parked_hvac.classroom.commands import class_group

            return class_group
        return super().get_command(ctx, cmd_name)


@click.group(cls=_Commands, context_settings={"help_option_names": ["-h", "--help"]})
def cli() -> None:
    """Diagnose a battery-powered parked air conditioner: orders, attempts, scores, lists."""


@cli.command()
@_JSON
def orders(as_json: bool) -> None:
    """List the work orders, easiest first."""
    from parked_hvac.job.order import orders as all_orders

    rows = [
        {
            "id": order.id,
            "title": order.title,
            "complaint": order.complaint,
            "truck": order.truck,
            "history": order.history,
            "lesson": order.lesson,
            "difficulty": order.difficulty,
            "skills": list(order.skills),
            "conditions": _plain(order.conditions),
        }
        for order in all_orders().values()
    ]
    _print(
        rows, as_json, lambda row: f"{row['id']:24} {row['difficulty']}  {row['title']}: {row['complaint']}"
    )


@cli.command()
@click.argument("order")
@click.option(
    "--actions",
    "actions_file",
    required=True,
    type=click.Path(path_type=Path, allow_dash=True),
    help='JSON lines, one action each: {"action": VERB, "arguments": {…}}; - reads standard input.',
)
@click.option("--learner", required=True, help="Learner id; it decides the variant of the fault.")
@click.option("--out", required=True, type=_ATTEMPT, help="Attempt file to write; it must not be there yet.")
@click.option("--hand-out", type=_ATTEMPT, help="Hand-out of the class, if the attempt is for a class.")
@_JSON
def play(
    order: str, actions_file: Path, learner: str, out: Path, hand_out: Path | None, as_json: bool
) -> None:
    """Play the actions of a file at a work ORDER and record the attempt.

    An action that is refused ends the run with status 2; what was done before it stands in the attempt file.
    """
    from parked_hvac.job.attempt import start
    from parked_hvac.job.errors import Refused
    from parked_hvac.job.script import read_script

    steps = read_script(actions_file)
    attempt = start(order, learner, out, hand_out)
    for step in steps:
        try:
            attempt.do(step.action, **step.arguments)
        except Refused as refusal:
            raise Refused(f"{actions_file}, line {step.number}: {refusal}") from None
    if as_json:
        _print_json(_told(attempt))
    else:
        for entry in attempt.entries:
            click.echo(f"{entry.minute:7.1f} min  {entry.message}")


@cli.command()
@click.argument("attempts", nargs=-1, required=True, type=_ATTEMPT)
@click.option("--class-key", type=_ATTEMPT, help="File with the class key, for attempts of a class.")
@click.option(
    "--pass-mark",
    type=click.FloatRange(0.0, 100.0),
    default=70.0,
    show_default=True,
    help="Points that an attempt needs; below it the status is 1.",
)
@_JSON
def grade(attempts: tuple[Path, ...], class_key: Path | None, pass_mark: float, as_json: bool) -> None:
    """Score ATTEMPTS by replaying them; recorded values are not trusted.

    An attempt that cannot be scored gets its sentence on standard error; the others are scored all the same.
    """
    from parked_hvac.job.errors import AttemptError, OrderError
    from parked_hvac.job.log import read_log

    key = _key(class_key)
    status = 0
    rows: list[dict[str, Any]] = []
    for path in attempts:
        try:
            read_log(path)
            from parked_hvac.assessment.grading import grade as score_of

            score = score_of(path, class_key=key)
        except (AttemptError, OrderError) as error:
            click.echo(_one_line(str(error)), err=True)
            status = 2
            continue
        status = max(status, 1 if score.total < pass_mark else 0)
        rows.append({"attempt": str(path), **score.to_json()})
    if rows:
        _print(rows, as_json, lambda row: f"{row['attempt']}: {row['total']:.0f} of 100")
    if status:
        raise SystemExit(status)


@cli.command()
@click.argument("attempt", type=_ATTEMPT)
@click.option("--class-key", type=_ATTEMPT, help="File with the class key; the ticket must be of this class.")
@_JSON
def check(attempt: Path, class_key: Path | None, as_json: bool) -> None:
    """Replay an ATTEMPT and tell whether every line of it holds; the file is not touched.

    Status 1 if it holds but names no cause yet.
    """
    from parked_hvac.job.replay import replay

    found = replay(attempt, _key(class_key))
    if as_json:
        _print_json(_told(found))
    else:
        click.echo(
            f"{attempt} holds: order {found.order.id}, learner {found.learner}, "
            f"{len(found.entries)} actions, "
            f"{len(found.readings)} readings, {found.minutes:g} minutes, "
            f"cause named: {found.concluded or 'none yet'}."
        )
    if found.concluded is None:
        raise SystemExit(1)


@cli.command()
@_JSON
def faults(as_json: bool) -> None:
    """List the faults that an order can hide."""
    from parked_hvac.rig.faults import faults as all_faults

    rows = [{"id": name, **_plain(fault)} for name, fault in all_faults().items()]
    _print(rows, as_json, lambda row: f"{row['id']:30} {row['title']}")


@cli.command()
@_JSON
def terminals(as_json: bool) -> None:
    """List the terminals a probe can touch."""
    from parked_hvac.rig.catalogue import catalogue

    rows = [{"name": name, **_plain(terminal)} for name, terminal in catalogue().terminals.items()]
    _print(rows, as_json, lambda row: f"{row['name']:8} {row['label']}")


@cli.command()
@_JSON
def actions(as_json: bool) -> None:
    """List the actions with arguments, allowed values, minutes and hazards."""
    from parked_hvac.job.actions import actions as all_actions

    rows = [_plain(action) for action in all_actions().values()]
    _print(rows, as_json, _action_line)


@cli.command()
@_JSON
def skills(as_json: bool) -> None:
    """List the skills that orders and lessons are about."""
    from parked_hvac.job.skills import skills as all_skills

    rows = [{"id": name, **_plain(skill)} for name, skill in all_skills().items()]
    _print(rows, as_json, lambda row: f"{row['id']:24} {row['text']}")


@cli.group()
def judge() -> None:
    """Judge the judge: how it ranks made-up learners, and how far its probabilities can be trusted."""


@judge.command()
@click.option("--order", "orders", multiple=True, help="Only this order; may be given more than once.")
@click.option(
    "--variants", type=click.IntRange(1, 999), default=200, show_default=True, help="Trucks of each order."
)
@click.option(
    "--out", type=click.Path(path_type=Path, file_okay=False), help="Folder for the table and the ROC curve."
)
@click.option(
    "--keep",
    type=click.Path(path_type=Path, dir_okay=False),
    help="File of results to add to and to report on.",
)
@_JSON
def learners(
    orders: tuple[str, ...], variants: int, out: Path | None, keep: Path | None, as_json: bool
) -> None:
    """Let made-up learners play orders and tell how the judge ranks them; status 1 where a limit is not kept."""
    from parked_hvac.assessment.trial_run import run_trial

    with click.progressbar(length=1, label="playing", file=sys.stderr, show_pos=True) as bar:

        def say(done: int, whole: int, what: str) -> None:
            bar.length = whole
            bar.label = what
            bar.update(done - bar.pos)

        told = run_trial(orders, variants, say, out, keep)
    _print(told.rows, as_json, lambda row: told.line(row))
    if not told.kept:
        raise SystemExit(1)


@judge.command("calibrate")
@click.option(
    "--orders", "count", type=click.IntRange(40), default=3000, show_default=True, help="Simulated orders."
)
@click.option(
    "--out",
    type=click.Path(path_type=Path, file_okay=False),
    required=True,
    help="Folder for the table and its plot.",
)
@_JSON
def calibrate_command(count: int, out: Path, as_json: bool) -> None:
    """Play simulated orders and tell whether causes are right as often as said; status 1 where not."""
    from parked_hvac.diagnosis.calibrate import MOST_ERROR, calibrate, long_orders

    whole = count + long_orders(count)
    with click.progressbar(length=whole, label="simulated orders", file=sys.stderr, show_pos=True) as bar:
        errors = calibrate(count, out, bar.update)
    rows = [{"counted": "after each reading", "error": errors.after_each, "limit": MOST_ERROR}]
    rows.append({"counted": "at the end of each order", "error": errors.at_the_end, "limit": MOST_ERROR})
    _print(
        rows,
        as_json,
        lambda row: f"{row['counted']:26} {row['error']:.3f}, at most {row['limit']:g}",
    )
    if not errors.kept:
        raise SystemExit(1)


def main(arguments: Sequence[str] | None = None) -> None:
    """Run a command; bad input ends with one sentence on standard error and status 2."""
    try:
        cli.main(args=arguments, prog_name="parked-hvac", standalone_mode=False)
    except click.exceptions.Abort:
        raise SystemExit(130) from None
    except click.ClickException as error:
        _bad_input(error.format_message())
    except BrokenPipeError:
        # Whoever reads has had enough; Python would complain again when it closes the pipe.
        sys.stdout = None
    except (ValueError, OSError) as error:
        if not _speaks_to_people(error):
            raise
        _bad_input(str(error))


def _bad_input(sentence: str) -> None:
    click.echo(_one_line(sentence), err=True)
    raise SystemExit(2)


def _one_line(sentence: str) -> str:
    return " ".join(sentence.split())


def _speaks_to_people(error: Exception) -> bool:
    """Whether an error was written for the reader; any other is a defect and keeps its traceback."""
    from parked_hvac.job.errors import AttemptError, OrderError, Refused
    from parked_hvac.tables import DataError

    return isinstance(error, (Refused, AttemptError, OrderError, DataError, OSError))


def _key(path: Path | None) -> bytes | None:
    return None if path is None else path.read_bytes().strip()


def _told(attempt: Attempt) -> dict[str, Any]:
    return {
        "order": attempt.order.id,
        "learner": attempt.learner,
        "minutes": attempt.minutes,
        "actions": [
            {"n": entry.n, "minute": entry.minute, "action": entry.action, "arguments": entry.arguments}
            | {"message": entry.message, "reading": entry.reading}
            for entry in attempt.entries
        ],
        "readings": [_plain(reading) for reading in attempt.readings],
        "concluded": attempt.concluded,
        "repaired": list(attempt.repaired),
        "write_up": attempt.write_up,
    }


def _action_line(row: dict[str, Any]) -> str:
    names = ", ".join(
        argument["name"] + ("" if argument["required"] else "?") for argument in row["arguments"]
    )
    time = f"{row['minutes']:g} min" if isinstance(row["minutes"], float) else row["minutes"]
    hazard = f"  [{row['hazard']}]" if row["hazard"] else ""
    return f"{row['verb']}({names})  {time}  {row['sentence']}{hazard}"


def _plain(record: Any) -> Any:
    import msgspec

    return msgspec.to_builtins(record)


def _print(rows: list[dict[str, Any]], as_json: bool, line: Any) -> None:
    if as_json:
        _print_json(rows)
        return
    for row in rows:
        click.echo(line(row))


def _print_json(value: Any) -> None:
    import msgspec

    click.echo(msgspec.json.format(msgspec.json.encode(value), indent=2).decode())


if __name__ == "__main__":
    main()
