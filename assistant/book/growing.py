"""A shelf grown by events, and accounts kept short: checkpoints are made here."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace

from assistant.batches.batch import Account, fold, live, opened
from assistant.batches.events import Event
from assistant.batches.shelf import Over, Shelf
from assistant.book.reading import Numbered, taken_back

Earlier = Callable[[int, int], Iterable[Numbered]]
"""The events of a batch up to and with a number, as they are on disk."""


@dataclass(frozen=True)
class Limits:
    """How many of a batch's latest events stay at hand, and at how many a checkpoint is made."""

    keep: int = 400
    top: int = 800


USUAL = Limits()


def shortened(account: Account, limits: Limits) -> Account:
    """The account with a later checkpoint, if its tail is too long and nothing in what stays reaches behind it."""
    at = len(account.tail) - limits.keep
    if len(account.tail) <= limits.top or at < 1:
        return account
    old, fresh = account.tail[:at], account.tail[at:]
    upto = old[-1][0]
    if any(one <= upto for one in taken_back(fresh)):
        return account
    return Account(account.now, fold(account.base, live(old)), upto, fresh)


def extend(
    shelf: Shelf, events: Iterable[Event], earlier: Earlier, limits: Limits | None = None
) -> tuple[Shelf, tuple[Account, ...]]:
    """The shelf after these events, and the accounts whose ``base`` is worth keeping as a checkpoint.

    One that takes back an event from long ago is given the whole account of its batch.

    Args:
        shelf: where they go; its head is the number before the first of them.
        events: what happens.
        earlier: reads events that are no longer at hand.
        limits: keep the accounts this short; not at all if None.

    Raises:
        LookupError: one takes back an event that its batch does not have.
    """
    start = shelf.head
    done: list[Numbered] = []
    kept: dict[int, Account] = {}
    for event in events:
        try:
            shelf = shelf.with_events((event,))
        except LookupError:
            account = shelf.accounts.get(event.batch) or opened(event.batch)
            ours = [(seq, one) for seq, one in done if one.batch == event.batch and seq <= account.upto]
            tail = (*earlier(event.batch, min(account.upto, start)), *ours, *account.tail)
            whole = replace(opened(event.batch), now=account.now, tail=tail)
            shelf = _with_account(shelf, whole).with_events((event,))
        done.append((shelf.head, event))
        if limits is not None:
            account = shelf.accounts[event.batch]
            short = shortened(account, limits)
            if short is not account:
                kept[event.batch] = short
                shelf = _with_account(shelf, short)
    return shelf, tuple(kept.values())


def _with_account(shelf: Shelf, account: Account) -> Shelf:
    return replace(shelf, accounts=Over(shelf.accounts, {account.now.number: account}))
