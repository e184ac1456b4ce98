"""The chat on a terminal (prompt_toolkit).

Only the prompt is loaded here. The talk itself (``engine``) is loaded in a thread of its own as soon as the first
prompt stands on the screen, and all of it runs in that one thread; Enter waits for it. What the keys do stands in
``keys.py``, once.
"""

from __future__ import annotations

import asyncio
import datetime
import sys
import time
from collections.abc import AsyncGenerator, Callable, Iterable
from concurrent.futures import Future, ThreadPoolExecutor
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

from prompt_toolkit import PromptSession
from prompt_toolkit.application import run_in_terminal
from prompt_toolkit.auto_suggest import AutoSuggest, AutoSuggestFromHistory, Suggestion
from prompt_toolkit.buffer import Buffer
from prompt_toolkit.completion import CompleteEvent, Completer, Completion
from prompt_toolkit.document import Document
from prompt_toolkit.filters import Condition, completion_is_selected, has_completions, is_done, is_searching
from prompt_toolkit.formatted_text import ANSI
from prompt_toolkit.history import History
from prompt_toolkit.input import Input
from prompt_toolkit.key_binding import KeyBindings, KeyPressEvent
from prompt_toolkit.layout import ConditionalContainer, Dimension, FormattedTextControl, HSplit, Window
from prompt_toolkit.layout.controls import SearchBufferControl
from prompt_toolkit.layout.processors import ReverseSearchProcessor, TabsProcessor
from prompt_toolkit.output import Output
from prompt_toolkit.shortcuts import print_formatted_text

from assistant.console import bar, keys
from assistant.console.drawn import Bracketed, Found
from assistant.console.looks import cut, faulty, lines_of
from assistant.console.welcome import AT_ONCE, Start

if TYPE_CHECKING:
    from assistant.console.engine import Engine, Turned
    from assistant.console.live import Row
    from assistant.console.speech import Voice

PROMPT = "say: "

ENDS = '"bye" or Ctrl-D ends the talk.'
DROPPED = f"The line is dropped; the Up key brings it back. {ENDS}"
BACK = "The line that you were typing is back."

PAUSE = 0.04
"""Seconds without a key before the line is looked at."""
TICK = 1.0
"""Seconds between two looks at the timers."""
BESIDE = 6
"""Columns of the Tab list around its words and notes."""
TALL = 8
"""Rows of a pasted text that are shown at once."""

Result = TypeVar("Result")


def chat(fresh: bool = False, terminal: Input | None = None, screen: Output | None = None, *,
         today: Callable[[], datetime.date] = datetime.date.today, path: Path | None = None,
         clock: Callable[[], datetime.datetime] = datetime.datetime.now,
         start: Start | None = None, aloud: Voice | None = None) -> int:  # fmt: skip
    """Talks until "bye", Ctrl-D or the end of the input; the talk so far is carried on.

    Args:
        fresh: whether to begin a new talk.
        terminal: the keys, the person's own if None; ``screen`` likewise.
        today: the day; ``clock`` the time of day.
        path: the book, the person's own if None.
        start: how the talk begins, with the settings in force.
        aloud: who says the replies, if anybody does.

    Raises:
        BookRefused: the book may not be opened; the prompt is taken away again.
    """
    return Chat(fresh, terminal, screen, today=today, path=path, clock=clock, start=start, aloud=aloud).run()


class Chat:
    """One window."""

    def __init__(self, fresh: bool, terminal: Input | None, screen: Output | None, *,
                 today: Callable[[], datetime.date], path: Path | None, clock: Callable[[], datetime.datetime],
                 start: Start | None = None, aloud: Voice | None = None) -> None:  # fmt: skip
        self._fresh, self._screen, self._path, self._start = fresh, screen, path, start or Start()
        self._live, self._bell = self._start.settings.live, self._start.settings.bell
        self._aloud, self._unspoken = aloud, ""
        self._faults: set[str] = set()
        self._today, self._clock = today, clock
        self._desk = ThreadPoolExecutor(1, "talk")
        self.loaded: Future[Engine] = Future()
        self._begun = self._greeted = self._warm = False
        self.engine: Engine | None = None
        self.standing = bar.LOADING
        self._glance: tuple[str, tuple[Row, ...]] = ("", ())
        self._tall = 0
        self._hint = ""
        self._helped = False
        self._pressed = -keys.AGAIN
        self._following: asyncio.Task[None] | None = None
        self.history = Earlier(self.loaded)
        self.prompt: PromptSession[str] = PromptSession(
            PROMPT, history=self.history, input=terminal, output=screen, bottom_toolbar=self._bottom,
            completer=Offered(self), complete_while_typing=False, auto_suggest=Grey(self),
            key_bindings=self._bindings(), reserve_space_for_menu=9, prompt_continuation="     ",
            input_processors=[Bracketed(), TabsProcessor(char1=" ", char2=" ")], search_ignore_case=True,
        )  # fmt: skip
        self._lay_out()
        self.prompt.default_buffer.on_text_changed += self._changed
        self.prompt.app.after_render += lambda _: self.load()
        # any key, Enter too, stops what is being said
        self.prompt.app.key_processor.before_key_press += lambda _: self._hush()

    # the screen -------------------------------------------------------------------------------

    def _lay_out(self) -> None:
        """Puts the rows of the look ahead right under the line, and keeps a long paste low."""
        layout = self.prompt.layout
        for one in layout.find_all_controls():
            if isinstance(one, SearchBufferControl):
                shown = one.input_processors or []
                one.input_processors = [Found() if isinstance(each, ReverseSearchProcessor) else each for each in shown]
                # a line that was found is not cut at the edge, maybe in the middle of a number
                searching = next(each for each in layout.find_all_windows() if each.content is one)
                searching.wrap_lines = Condition(lambda: True)
        window = next(one for one in layout.find_all_windows() if one.content is layout.current_control)
        usual = window.height

        def height() -> Dimension:
            rows = self.prompt.default_buffer.document.line_count
            if rows > TALL and not self.prompt.app.is_done:
                return Dimension(max=TALL, preferred=TALL)
            found = usual() if callable(usual) else usual
            return found if isinstance(found, Dimension) else Dimension()

        window.height = height
        window.dont_extend_height = Condition(lambda: True)
        under = ConditionalContainer(
            Window(FormattedTextControl(self._under), dont_extend_height=True),
            Condition(lambda: self._rows() > 0) & ~is_done & ~is_searching & ~has_completions,
        )
        if isinstance(layout.container, HSplit):
            layout.container.children[1:1] = [under, ConditionalContainer(Window(), ~is_done)]

    def _columns(self) -> int:
        return self.prompt.app.output.get_size().columns

    def _rows(self) -> int:
        """How many rows stand under the line; while it is looked at anew their place is kept."""
        if not self.prompt.default_buffer.text:
            self._tall = 0
        return max(self._tall, 1 if self._hint else 0) + len(self._long())

    def _fitted(self, rows: tuple[Row, ...]) -> list[str]:
        """The rows under the line on the screen as it is."""
        from assistant.console.live import fitted

        size = self.prompt.app.output.get_size()
        return fitted(rows, size.columns, size.rows)

    def _long(self) -> list[str]:
        """That not all of a long text is shown."""
        document = self.prompt.default_buffer.document
        if document.line_count <= TALL:  # counted once a text; the rest is done at every drawing
            return []
        many = _rows_of(document.text)
        return [f"  {many} rows; not all of them are shown"] if many > TALL else []

    def _under(self) -> str:
        """What the line would bring; nothing where it was worked out for another text."""
        columns = self._columns()
        if self._hint:
            return "\n".join([*self._long(), f"  {cut(self._hint, columns - 3)}"])
        text, rows = self._glance
        shown = self._fitted(rows) if text == self.prompt.default_buffer.text else []
        return "\n".join([*self._long(), *shown, *[""] * (self._tall - len(shown))])

    def _bottom(self) -> str:
        timers: list[str] = []
        if self.engine is not None:
            from assistant.console.clockwork import shown

            timers = shown(self.engine.timers.running, self._clock())
        standing = replace(self.standing, now=keys.SEARCHING, keyed=False) if is_searching() else self.standing
        return bar.bottom(standing, timers, self._columns())

    def show(self, rows: Iterable[str]) -> None:
        """Rows on the screen, above the prompt if there is one."""
        for row in rows:
            print_formatted_text(ANSI(row), output=self._screen)

    def _hush(self) -> None:
        """Stops what is being said."""
        if self._aloud is not None:
            self._aloud.hush()

    def _say(self, *words: str, first: bool = False) -> list[str]:
        """Words aloud, ``first`` or after what is being said; rows that say once why they could not be."""
        if self._aloud is None:
            return []
        for one in words:
            (self._aloud.first if first else self._aloud.then)(one)
        fresh = self._aloud.trouble if self._aloud.trouble != self._unspoken else ""
        self._unspoken = self._aloud.trouble
        return lines_of(fresh) if fresh else []

    async def _above(self, rows: Iterable[str]) -> None:
        """Rows above the line that is being typed."""
        await run_in_terminal(lambda: self.show(rows))

    # loading ----------------------------------------------------------------------------------

    def load(self) -> None:
        """Begins to load the talk, once."""
        if self._begun:
            return
        self._begun = True
        stream = sys.stdout if self._screen is None else None

        def loading() -> None:
            try:
                from assistant.console.engine import Engine, Shown, Times
                from assistant.console.once import look_of

                times = Times(self._today, self._clock)
                aloud = self._aloud is not None
                shown = Shown(self._start, lambda settings: look_of(settings, stream), len(PROMPT), aloud)
                engine = Engine(self._path, self._fresh, times, shown)
                self.loaded.set_result(engine)
            except BaseException as error:  # whoever waits for it raises it
                self.loaded.set_exception(error)

        self._desk.submit(loading)

    def _arrived(self, engine: Engine) -> list[str]:
        """The talk is there: what is carried on, as rows to show, once."""
        if self._greeted:
            return []
        self._greeted = True
        self.engine, self.standing = engine, engine.hello.standing
        rows = [*engine.hello.rows, *self._say(*engine.hello.aloud)]
        if engine.left:
            rows += lines_of(BACK)
            for one in engine.left[1:]:
                rows += lines_of(f'Half typed in another window: "{one}"')
                self.history.append_string(one)
        return rows

    def _put_back(self, engine: Engine) -> None:
        """The half-typed line of a window that was killed goes where it was, or among the earlier ones."""
        for one in engine.left[:1]:
            if self.prompt.default_buffer.text:
                self.history.append_string(one)
            else:
                self.prompt.default_buffer.insert_text(one)
        engine.left = ()

    async def _attend(self) -> None:
        """While a line is typed: shows what was loaded, then looks at the timers each second."""
        try:
            engine = await asyncio.shield(asyncio.wrap_future(self.loaded))
        except Exception as error:  # raised where the prompt was asked for
            self.prompt.app.exit(exception=error)
            return
        if rows := self._arrived(engine):
            await self._above(rows)
        if engine.left:
            self._put_back(engine)
        if not self._hint:  # a letter that may be a key of the walk waits to be alone, and goes on waiting
            self._changed(self.prompt.default_buffer)
        self.prompt.app.invalidate()
        while not self._warm:
            self._warm = not await self._ask(engine.warm)
        while True:
            if rung := await self._rung(engine):
                words = [engine.worded(one) for one in rung] if self._aloud is not None else []
                if self._bell:
                    self.prompt.app.output.bell()
                await self._above([*rung, *self._say(" ".join(words), first=True)])
            if rung or engine.timers.running:
                self.prompt.app.invalidate()
            await asyncio.sleep(TICK)

    async def _rung(self, engine: Engine) -> list[str]:
        """What rang; a fault here is told, and the next second is looked at all the same."""
        try:
            return await self._ask(engine.timers.rung)
        except Exception as error:
            self._fault(asyncio.get_running_loop(), {"exception": error})
            return []

    def _running(self) -> None:
        """The prompt is about to be drawn."""
        # a fault beside the line must not stand between the person and the line
        asyncio.get_running_loop().set_exception_handler(self._fault)
        self.prompt.app.create_background_task(self._attend())

    def _fault(self, _loop: asyncio.AbstractEventLoop, context: dict[str, Any]) -> None:
        """A fault of the program while nothing was said, in one sentence, and each once."""
        error = context.get("exception")
        text = faulty("While you were typing", error) if isinstance(error, Exception) else ""
        if text and text not in self._faults and not self.prompt.app.is_done:
            self._faults.add(text)
            self.prompt.app.create_background_task(self._above(lines_of(text)))

    async def _ask(self, job: Callable[..., Result], *given: Any) -> Result:
        """Something of the talk's own thread; given up, it is done there all the same."""
        return await asyncio.shield(asyncio.wrap_future(self._desk.submit(job, *given)))

    # typing -----------------------------------------------------------------------------------

    def _changed(self, buffer: Buffer) -> None:
        """The text is another one: nothing that was worked out for the last one counts."""
        self._glance, self._hint, self._helped = ("", ()), "", False
        if buffer.text:
            self._pressed = -keys.AGAIN
        if self._following is not None:
            self._following.cancel()
            self._following = None
        app = self.prompt.app
        if app.is_running and not app.is_done:
            self._following = app.create_background_task(self._follow(buffer.text))

    async def _follow(self, text: str) -> None:
        """Keeps the half-typed line, and works out what it would bring, once the keys pause."""
        await asyncio.sleep(PAUSE)
        engine = self.engine
        if engine is None:
            return
        if not self._live or not text:
            await self._ask(engine.draft, text)
            return
        rows = await self._ask(engine.glance, text)
        if self.prompt.default_buffer.text == text:
            if not rows and text.strip():  # too long to be read at each key
                many = _rows_of(text)
                self._hint = f"{many} rows, read as one saying on Enter" if many > 1 else "read on Enter"
            self._glance, self._tall = (text, rows), len(self._fitted(rows))
            self.prompt.app.invalidate()

    async def _hold(self, key: keys.Key) -> None:
        """A letter that is a key if nothing follows it soon."""
        buffer = self.prompt.default_buffer
        await asyncio.sleep(keys.HOLD)
        if buffer.text == key.press[0]:
            self._send(key.says)

    def _send(self, line: str) -> None:
        """Says a line in place of the person."""
        buffer = self.prompt.default_buffer
        buffer.document = Document(line, len(line))
        buffer.validate_and_handle()

    def _once(self, does: Callable[[], None]) -> None:
        """Does what a walk's key does, but once while it is held down: nobody leans on the space bar past a step."""
        now = time.monotonic()
        if now - self._pressed < keys.AGAIN:
            self._hint = keys.HELD
            self.prompt.app.invalidate()
        else:
            does()
        self._pressed = now  # what it sent is a change of the line, which forgets the key

    # keys -------------------------------------------------------------------------------------

    def _bindings(self) -> KeyBindings:
        """What each key of the table does."""
        bound = KeyBindings()

        @Condition
        def empty() -> bool:
            return not self.prompt.default_buffer.text

        @Condition
        def walking() -> bool:
            """Whether a walk's single keys count."""
            return self.engine is not None and self.standing.walking

        @Condition
        def asked() -> bool:
            """Whether something is asked on the walk: the space bar does not pass it."""
            return walking() and bool(self.standing.question)

        enter, close, f1, undo, redo, drop = map(keys.key, ("Enter", "Esc", "F1", "Ctrl-Z", "Alt-Z", "Ctrl-C"))
        space, back, repeat, why = map(keys.key, ("space", "b", "r", "?"))

        @bound.add(*enter.press, filter=completion_is_selected)
        def _taken(event: KeyPressEvent) -> None:
            event.current_buffer.complete_state = None

        @bound.add(*enter.press, filter=~completion_is_selected & ~is_searching)
        def _said(event: KeyPressEvent) -> None:
            buffer = event.current_buffer
            for one in (back, repeat):
                if buffer.text == one.press[0] and walking():
                    self._send(one.says)
                    return
            event.app.erase_when_done = buffer.document.line_count > TALL
            buffer.validate_and_handle()

        @bound.add(*f1.press)
        async def _help(_event: KeyPressEvent) -> None:
            rows = [row for one in keys.help_rows() for row in lines_of(one)]
            whole, self._helped = self._helped, not self._helped
            await self._above([*(await self._ask(self.engine.help, whole) if self.engine is not None else rows), ""])

        @bound.add(*undo.press)
        def _undo(event: KeyPressEvent) -> None:
            event.current_buffer.undo() if event.current_buffer.text else self._send(undo.says)

        @bound.add(*redo.press)
        def _redo(event: KeyPressEvent) -> None:
            event.current_buffer.redo() if event.current_buffer.text else self._send(redo.says)

        @bound.add(*drop.press, filter=~is_searching)
        def _drop(event: KeyPressEvent) -> None:
            event.app.exit(exception=KeyboardInterrupt, style="class:aborting")

        @Condition
        def pasted() -> bool:
            """Whether letters came in with the Tab: rows pasted into a terminal that does not say what is pasted."""
            following = self.prompt.app.key_processor.input_queue
            return bool(following) and len(following[0].key) == 1 and following[0].key.isprintable()

        @bound.add("tab", filter=pasted)
        def _tab(event: KeyPressEvent) -> None:
            event.current_buffer.insert_text("\t")

        @bound.add(*close.press, filter=has_completions, eager=True)
        def _close(event: KeyPressEvent) -> None:
            event.current_buffer.cancel_completion()

        @bound.add(*space.press, filter=empty & walking & ~asked)
        def _next(_event: KeyPressEvent) -> None:
            self._once(lambda: self._send(space.says))

        @bound.add(*space.press, filter=empty & asked)
        def _asked(event: KeyPressEvent) -> None:
            rows = [*lines_of(self.standing.question), ""]

            def shown() -> None:
                event.app.create_background_task(self._above(rows))

            self._once(shown)

        @bound.add(*why.press, filter=empty & walking)
        def _why(_event: KeyPressEvent) -> None:
            self._once(lambda: self._send(why.says))

        for one in (back, repeat):

            @bound.add(*one.press, filter=empty & walking)
            def _letter(event: KeyPressEvent, one: keys.Key = one) -> None:
                event.current_buffer.insert_text(one.press[0])
                self._changed(event.current_buffer)
                if self._following is not None:
                    self._following.cancel()
                self._hint = f"{one.name} {one.does} in a moment; type on for a word"
                self._following = event.app.create_background_task(self._hold(one))

        return bound

    # the talk ---------------------------------------------------------------------------------

    def run(self) -> int:
        """Talks to the end.

        Raises:
            BookRefused: the book may not be opened.
        """
        try:
            # what is typed while a line is answered waits unseen for the next prompt
            with self.prompt.app.input.raw_mode():
                return self._talk()
        finally:
            self._hush()
            if self.engine is not None:
                self._desk.submit(self.engine.close)
            self._desk.shutdown()

    def _talk(self) -> int:
        self.show([*(row for line in AT_ONCE for row in lines_of(line)), ""])
        while True:
            self._glance, self._hint, self._tall, self._helped = ("", ()), "", 0, False
            self.prompt.app.erase_when_done = False
            try:
                say = self.prompt.prompt(pre_run=self._running, set_exception_handler=False)
            except KeyboardInterrupt:
                dropped = self.prompt.default_buffer.text
                if dropped.strip():
                    self.history.append_string(dropped)
                self.show(lines_of(DROPPED if dropped.strip() else ENDS))
                continue
            except EOFError:
                return self._end(self._there())
            if self.prompt.app.erase_when_done:
                self.show(_short(say))
            engine = self._there()
            turned: Turned = self._desk.submit(engine.say, say).result()
            if turned.done:
                return self._end(engine)
            self.standing = turned.standing
            self._hush()
            self.show([*turned.rows, *self._say(*turned.aloud)])

    def _there(self) -> Engine:
        """The talk, as soon as it is loaded."""
        self.load()
        engine = self.loaded.result()
        self.show(self._arrived(engine))
        for one in engine.left[:1]:
            self.history.append_string(one)
        engine.left = ()
        return engine

    def _end(self, engine: Engine) -> int:
        self.show(self._desk.submit(engine.end).result())
        self.engine = None
        return 0


def _rows_of(text: str) -> int:
    """How many rows a text has without the empty ones at its ends."""
    return len(text.strip().splitlines())


def _short(say: str) -> list[str]:
    """A long pasted text, as it stays on the screen."""
    rows = say.strip().splitlines()
    return [
        f"{PROMPT}{rows[0]}",
        *(f"{' ' * len(PROMPT)}{one}" for one in rows[1:3]),
        f"     ... {len(rows)} rows in all",
    ]


class Earlier(History):
    """The lines of earlier sittings, as soon as they are loaded, and those of this one."""

    def __init__(self, loaded: Future[Engine]) -> None:
        super().__init__()
        self._from = loaded

    async def load(self) -> AsyncGenerator[str, None]:
        """The lines, the latest first."""
        if not self._loaded:
            try:
                engine = await asyncio.shield(asyncio.wrap_future(self._from))
            except Exception:  # told where the talk is waited for
                return
            if not self._loaded:
                self._loaded_strings += reversed(engine.history)
                self._loaded = True
        for one in list(self._loaded_strings):
            yield one

    def load_history_strings(self) -> Iterable[str]:
        """Nothing more: ``load`` has them."""
        return ()

    def store_string(self, string: str) -> None:
        """The book keeps what was said."""


class Grey(AutoSuggest):
    """How the line could go on: as an earlier one did, else as an example does."""

    def __init__(self, window: Chat) -> None:
        self._window, self._earlier = window, AutoSuggestFromHistory()

    def get_suggestion(self, buffer: Buffer, document: Document) -> Suggestion | None:
        """The rest of a line that begins so."""
        text, engine = document.text, self._window.engine
        if engine is None or len(text.strip()) < 2 or "\n" in text:
            return None
        if (found := self._earlier.get_suggestion(buffer, document)) is not None:
            return found
        return next((Suggestion(one[len(text) :]) for one in engine.examples if one.startswith(text)), None)


class Offered(Completer):
    """The words that could come next, worked out in the talk's own thread."""

    def __init__(self, window: Chat) -> None:
        self._window = window

    def get_completions(self, document: Document, complete_event: CompleteEvent) -> Iterable[Completion]:
        """Nothing without the thread: the prompt asks for them there."""
        return ()

    async def get_completions_async(
        self, document: Document, complete_event: CompleteEvent
    ) -> AsyncGenerator[Completion, None]:
        """The words, each with its note."""
        engine = self._window.engine
        if engine is None:
            return
        found = await self._window._ask(engine.offers, document.text_before_cursor)
        wide = max((len(one.text) for one in found), default=0) + max((len(one.note) for one in found), default=0)
        noted = wide + BESIDE <= self._window._columns()  # a note that is cut to a dot says nothing
        for one in found:
            yield Completion(one.text, -one.typed, display_meta=one.note if noted else "")
