"""Honest doubles of what is outside: a Bot API server that confirms, floods, fails and moves groups as the real one.

`world` has the chats and what people do in them; `bot_api` serves it over HTTP on 127.0.0.1; `faults` are the ways in
which an answer can go wrong. A test starts one with `async with BotApi() as api:` and points the bot at `api.url`.
"""
