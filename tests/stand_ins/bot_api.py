"""The Bot API over HTTP on 127.0.0.1.

Its manners are those of Telegram's documentation (core.telegram.org/bots/api) and, for the wording of errors, of the
open source of the Bot API server; both from memory. Limits are strict sliding windows: harder than the real
server's, which lets short bursts pass.
"""

from __future__ import annotations

import asyncio
import json
import time
from collections import defaultdict, deque
from collections.abc import Callable
from email.utils import formatdate
from typing import Any

from aiohttp import ClientError, ClientSession, web
from telegram.constants import ReactionEmoji

from tests.stand_ins.faults import Broken, Drop, Fault, Late, Status
from tests.stand_ins.world import PRIVATE, Chat, Json, Reacted, Sent, World

TOKEN = "4242:a-token-for-tests-only"
TEXT_UNITS, CAPTION_UNITS, BUTTON_BYTES = 4096, 1024, 64


class Refusal(Exception):
    """An error answer of the server."""

    def __init__(self, code: int, description: str, **parameters: Any) -> None:
        super().__init__(description)
        self.code, self.description, self.parameters = code, description, parameters


class BotApi:
    """One bot's Bot API server; an async context. `speed` makes its clock run faster than the wall's."""

    def __init__(self, world: World | None = None, *, limits: bool = False, speed: float = 1.0) -> None:
        self.world = world or World()
        self.limits = limits
        self.speed = speed
        self.url = ""
        self.token = TOKEN
        self.dates = False  # whether answers bear the time of the world (`World.unix`), as Telegram's do
        self.webhook, self.secret = "", ""
        self._calling: asyncio.Task[None] | None = None
        self.called: list[int] = []  # the status of each of our answers to a call of the webhook
        self.calls: list[tuple[str, Json]] = []
        self.refused: list[tuple[str, int]] = []  # method and code of each error answer
        self.spy: Callable[[str, str], None] = lambda moment, method: None  # told of each call, "before" and "after"
        self.polls = 0  # calls of getUpdates that arrived
        self._faults: dict[str, deque[Fault]] = defaultdict(deque)
        self._times: dict[int, deque[float]] = defaultdict(deque)
        self._all: deque[float] = deque()
        self._news = asyncio.Event()
        self._poll: asyncio.Event | None = None
        self._methods: dict[str, Callable[[Json, bytes], Any]] = {
            "getMe": self._get_me,
            "getChat": self._get_chat,
            "getChatMember": self._get_member,
            "sendMessage": self._send_message,
            "sendPhoto": self._send_photo,
            "sendDocument": self._send_document,
            "getFile": self._get_file,
            "setMessageReaction": self._react,
            "answerCallbackQuery": self._answer_press,
            "editMessageText": self._edit_text,
            "editMessageReplyMarkup": self._edit_buttons,
            "setWebhook": self._set_webhook,
            "deleteWebhook": self._delete_webhook,
            "setMyCommands": lambda given, photo: True,
            "leaveChat": self._leave,
        }

    async def __aenter__(self) -> BotApi:
        app = web.Application(client_max_size=20 * 2**20)
        app.on_response_prepare.append(self._date)
        app.router.add_route("*", "/bot{token}/{method}", self._serve)
        app.router.add_get("/file/bot{token}/{path:.*}", self._file)
        self._runner = web.AppRunner(app, handler_cancellation=True, shutdown_timeout=0.1)
        await self._runner.setup()
        site = web.TCPSite(self._runner, "127.0.0.1", 0)
        await site.start()
        host, port = self._runner.addresses[0][:2]
        self.url = f"http://{host}:{port}"
        self.world.changed = self._news.set
        return self

    async def __aexit__(self, *_: object) -> None:
        self._news.set()
        if self._calling is not None:
            self._calling.cancel()
        await self._runner.cleanup()

    async def _date(self, request: web.Request, response: web.StreamResponse) -> None:
        response.headers.pop("Date", None)
        if self.dates:
            response.headers["Date"] = formatdate(self.world.unix(), usegmt=True)

    def fail(self, method: str, *faults: Fault | None) -> None:
        """The next calls of that method go wrong in these ways, one after the other; None lets one pass."""
        self._faults[method].extend(faults)  # type: ignore[arg-type]

    def count(self, method: str) -> int:
        """How often that method was called."""
        return sum(name == method for name, _ in self.calls)

    def now(self) -> float:
        """Seconds of the server's own clock."""
        return time.monotonic() * self.speed

    async def until(self, true: Callable[[], Any], seconds: float = 5.0) -> None:
        """Waits until that is true; fails the test after so many real seconds."""
        for _ in range(int(seconds / 0.01)):
            if true():
                return
            await asyncio.sleep(0.01)
        raise AssertionError(f"not true within {seconds} s; calls so far: {[c for c, _ in self.calls][-20:]}")

    # -- one call ---------------------------------------------------------------------------------------------------

    async def _serve(self, request: web.Request) -> web.StreamResponse:
        method = request.match_info["method"]
        given, photo = await _parameters(request)
        if request.match_info["token"] != self.token:
            return self._error(method, Refusal(401, "Unauthorized"))
        self.calls.append((method, given))
        self.polls += method == "getUpdates"
        self.spy("before", method)
        faults = self._faults[method]
        fault = faults.popleft() if faults else None
        if isinstance(fault, Status):
            return self._error(method, Refusal(fault.code, fault.description, **fault.parameters))
        if isinstance(fault, Drop) and not fault.done:
            return _cut(request)
        try:
            result = await self._get_updates(given) if method == "getUpdates" else self._do(method, given, photo)
        except Refusal as refusal:
            return self._error(method, refusal)
        self.spy("after", method)
        if isinstance(fault, Drop):
            return _cut(request)
        if isinstance(fault, Broken):
            return web.Response(body=fault.body, content_type="text/html")
        if isinstance(fault, Late):
            await asyncio.sleep(fault.seconds)
        return web.json_response({"ok": True, "result": result})

    def _do(self, method: str, given: Json, photo: bytes) -> Any:
        if method not in self._methods:
            raise Refusal(404, "Not Found")
        return self._methods[method](given, photo)

    def _error(self, method: str, refusal: Refusal) -> web.Response:
        self.refused.append((method, refusal.code))
        body: Json = {"ok": False, "error_code": refusal.code, "description": refusal.description}
        if refusal.parameters:
            body["parameters"] = refusal.parameters
        return web.json_response(body, status=refusal.code)

    # -- updates ------------------------------------------------------------------------------------------------------

    async def _get_updates(self, given: Json) -> list[Json]:
        if self.webhook:
            raise Refusal(409, "Conflict: can't use getUpdates method while webhook is active; use deleteWebhook first")
        if self._poll is not None:
            self._poll.set()  # the older call is the one that is ended
        mine = self._poll = asyncio.Event()
        if "allowed_updates" in given:
            self.world.allowed = tuple(given["allowed_updates"])
        offset = given.get("offset")
        if offset is not None:
            self.world.confirm(int(offset))
        ends = time.monotonic() + float(given.get("timeout", 0))
        try:
            while not self.world.updates and time.monotonic() < ends:
                self._news.clear()
                waits = [asyncio.ensure_future(e.wait()) for e in (self._news, mine)]
                try:
                    await asyncio.wait(waits, timeout=ends - time.monotonic(), return_when=asyncio.FIRST_COMPLETED)
                finally:
                    for w in waits:
                        w.cancel()
                if mine.is_set():
                    raise Refusal(409, "Conflict: terminated by other getUpdates request")
        finally:
            if self._poll is mine:
                self._poll = None
        return list(self.world.updates[: int(given.get("limit", 100))])

    def _set_webhook(self, given: Json, photo: bytes) -> bool:
        if not str(given["url"]).startswith(("https://", "http://127.0.0.1:")):
            raise Refusal(400, "Bad Request: bad webhook: An HTTPS URL must be provided for webhook")
        self.webhook, self.secret = str(given["url"]), str(given.get("secret_token", ""))
        if "allowed_updates" in given:
            self.world.allowed = tuple(given["allowed_updates"])
        if self._calling is None:
            self._calling = asyncio.create_task(self._call())
        return True

    def _delete_webhook(self, given: Json, photo: bytes) -> bool:
        self.webhook = ""
        return True

    async def _call(self) -> None:
        """Brings the updates to the webhook in order; what is not answered with 2xx is brought again."""
        async with ClientSession() as session:
            while True:
                self._news.clear()
                if not self.webhook or not self.world.updates:
                    await asyncio.wait([asyncio.ensure_future(self._news.wait())], timeout=0.05)
                    continue
                update = self.world.updates[0]
                headers = {"X-Telegram-Bot-Api-Secret-Token": self.secret}
                try:
                    async with session.post(self.webhook, json=update, headers=headers) as answer:
                        self.called.append(answer.status)
                        if answer.ok:
                            self.world.updates.remove(update)
                            continue
                except ClientError:
                    pass
                await asyncio.sleep(0.05)

    # -- what the bot does --------------------------------------------------------------------------------------------

    def _get_me(self, given: Json, photo: bytes) -> Json:
        return self.world.bot.json() | {
            "can_join_groups": True,
            "can_read_all_group_messages": not self.world.privacy,
            "supports_inline_queries": False,
        }

    def _get_chat(self, given: Json, photo: bytes) -> Json:
        return self._chat(given).json() | {"accent_color_id": 0, "max_reaction_count": 11}

    def _get_member(self, given: Json, photo: bytes) -> Json:
        status: Json = {"status": "member"}
        if self._chat(given).bot_is_admin:
            rights = ("can_be_edited", "is_anonymous", "can_manage_chat", "can_delete_messages", "can_promote_members",
                      "can_manage_video_chats", "can_restrict_members", "can_change_info", "can_invite_users",
                      "can_post_stories", "can_edit_stories", "can_delete_stories")
            status = {"status": "administrator"} | dict.fromkeys(rights, False)
        return {"user": self.world.bot.json()} | status

    def _chat(self, given: Json, *, write: bool = False) -> Chat:
        chat = self.world.chats.get(int(given["chat_id"]))
        if chat is None:
            raise Refusal(400, "Bad Request: chat not found")
        if write:
            self._count(chat)
            if chat.moved_to is not None:
                raise Refusal(
                    400, "Bad Request: group chat was upgraded to a supergroup chat", migrate_to_chat_id=chat.moved_to
                )
            if chat.shut:
                raise Refusal(403, chat.shut)
        return chat

    def _count(self, chat: Chat) -> None:
        """Refuses what is over 1 a second in a chat, 20 a minute in a group, 30 a second in all."""
        if not self.limits:
            return
        now, mine = self.now(), self._times[chat.id]
        waits = [_over(mine, 1, 1.0, now), _over(self._all, 30, 1.0, now)]
        if chat.kind != PRIVATE:
            waits.append(_over(mine, 20, 60.0, now))
        if max(waits) > 0:
            after = int(max(waits)) + 1
            raise Refusal(429, f"Too Many Requests: retry after {after}", retry_after=after)
        mine.append(now)
        self._all.append(now)

    def _send_message(self, given: Json, photo: bytes) -> Json:
        return self._send(given, str(given.get("text", "")), TEXT_UNITS, photo=b"")

    def _send_photo(self, given: Json, photo: bytes) -> Json:
        if isinstance(given.get("photo"), str) and not photo:  # by the name under which it is kept already
            photo = self.world.photos.get(given["photo"], b"")
            if not photo:
                raise Refusal(400, "Bad Request: wrong file identifier/HTTP URL specified")
        if not photo.startswith(b"\x89PNG"):
            raise Refusal(400, "Bad Request: IMAGE_PROCESS_FAILED")
        return self._send(given, str(given.get("caption", "")), CAPTION_UNITS, photo=photo)

    def _send_document(self, given: Json, file: bytes) -> Json:
        if not file:
            raise Refusal(400, "Bad Request: file must be non-empty")
        return self._send(given, str(given.get("caption", "")), CAPTION_UNITS, photo=b"", file=file)

    def _get_file(self, given: Json, file: bytes) -> Json:
        known = str(given["file_id"])
        if known not in self.world.files:
            raise Refusal(400, "Bad Request: invalid file_id")
        return {"file_id": known, "file_unique_id": f"u{known}", "file_size": len(self.world.files[known]),
                "file_path": f"documents/{known}.csv"}  # fmt: skip

    async def _file(self, request: web.Request) -> web.Response:
        known = request.match_info["path"].removeprefix("documents/").removesuffix(".csv")
        if request.match_info["token"] != self.token or known not in self.world.files:
            return web.Response(status=404)
        return web.Response(body=self.world.files[known])

    def _send(self, given: Json, text: str, limit: int, *, photo: bytes, file: bytes = b"") -> Json:
        chat = self._chat(given, write=True)
        if not text.strip() and not photo and not file:
            raise Refusal(400, "Bad Request: message text is empty")
        if len(text.encode("utf-16-le")) // 2 > limit:
            raise Refusal(400, "Bad Request: message is too long")
        reply = given.get("reply_parameters") or {}
        reply_to = reply.get("message_id")
        if reply_to is not None and reply_to not in chat.messages:
            if not reply.get("allow_sending_without_reply"):
                raise Refusal(400, "Bad Request: message to be replied not found")
            reply_to = None
        markup = given.get("reply_markup") or {}
        buttons = [b for row in markup.get("inline_keyboard", []) for b in row]
        if any(not 1 <= len(b["callback_data"].encode()) <= BUTTON_BYTES for b in buttons):
            raise Refusal(400, "Bad Request: BUTTON_DATA_INVALID")
        thread = given.get("message_thread_id")
        fields: Json = {"caption" if photo or file else "text": text}
        fields |= {"reply_markup": markup} if markup else {}
        fields |= {"message_thread_id": thread, "is_topic_message": True} if thread is not None else {}
        message = self.world.post(chat, fields)
        labels = tuple(b["text"] for b in buttons)
        self.world.sent.append(
            Sent(
                chat.id, message["message_id"], text, reply_to, thread, labels, photo, self.now(), file,
                str(given.get("file name", "")),
            )
        )
        return message

    def _react(self, given: Json, photo: bytes) -> bool:
        chat = self._chat(given, write=True)
        number = int(given["message_id"])
        if number not in chat.messages:
            raise Refusal(400, "Bad Request: message to react not found")
        for r in given.get("reaction") or []:
            known = r.get("type") == "emoji" and r.get("emoji") in set(ReactionEmoji)
            if not known or not chat.reactions:
                raise Refusal(400, "Bad Request: REACTION_INVALID")
            self.world.marks.append(Reacted(chat.id, number, r["emoji"], self.now()))
        return True

    def _answer_press(self, given: Json, photo: bytes) -> bool:
        self.world.answered.append(str(given["callback_query_id"]))
        return True

    def _own(self, given: Json) -> tuple[Chat, Json]:
        chat = self._chat(given, write=True)
        message = chat.messages.get(int(given["message_id"]))
        if message is None or message["from"]["id"] != self.world.bot.id:
            raise Refusal(400, "Bad Request: message to edit not found")
        return chat, message

    def _edit_text(self, given: Json, photo: bytes) -> Json:
        _, message = self._own(given)
        if message.get("text") == given["text"]:
            raise Refusal(400, "Bad Request: message is not modified")
        message["text"] = given["text"]
        return message

    def _edit_buttons(self, given: Json, photo: bytes) -> Json:
        _, message = self._own(given)
        markup = given.get("reply_markup")
        if message.get("reply_markup") == markup:
            raise Refusal(400, "Bad Request: message is not modified")
        message["reply_markup"] = markup
        if not markup:
            del message["reply_markup"]
        return message

    def _leave(self, given: Json, photo: bytes) -> bool:
        chat = self._chat(given)
        chat.shut = f"Forbidden: bot is not a member of the {chat.kind} chat"
        self.world.left.append(chat.id)
        return True


async def _parameters(request: web.Request) -> tuple[Json, bytes]:
    """The call's parameters from the address and the form, values that are JSON read, and the uploaded file."""
    form = await request.post()
    given: Json = {}
    photo = b""
    for name, value in (*request.query.items(), *form.items()):
        if isinstance(value, web.FileField):
            photo = value.file.read()
            given["file name"] = value.filename
        elif name in {"text", "caption"}:
            given[name] = value
        else:
            try:
                given[name] = json.loads(str(value))
            except ValueError:
                given[name] = value
    return given, photo


def _over(times: deque[float], count: int, window: float, now: float) -> float:
    """Seconds until one more is within that many in the window; 0 where it is now."""
    while times and now - times[0] > 120:
        times.popleft()
    recent = [t for t in times if now - t < window]
    return 0.0 if len(recent) < count else recent[-count] + window - now


def _cut(request: web.Request) -> web.StreamResponse:
    assert request.transport is not None
    request.transport.abort()
    return web.Response()
