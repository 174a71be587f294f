"""The addresses for signing in and out, for links to the floor, and for tokens."""

from __future__ import annotations

import io
from collections.abc import Callable
from dataclasses import dataclass
from datetime import timedelta
from typing import Annotated, Literal

from fastapi import APIRouter, HTTPException, Request, Response
from pydantic import BaseModel, ConfigDict, Field

from bendwright.bench.security.attempts import Attempts
from bendwright.bench.security.gate import Who, session_cookie, session_token, spell_of
from bendwright.bench.security.links import safe_way
from bendwright.bench.security.passphrases import passphrase_fits
from bendwright.bench.security.settings import SecuritySettings
from bendwright.bench.security.tokens import API_MARK, LONGEST, check_word, kept_hash, new_token
from bendwright.findings import InputError, found
from bendwright.store.open_store import Store
from bendwright.store.records import ApiToken, Session

LABEL = 120
Label = Annotated[str, Field(max_length=LABEL)]


class Sent(BaseModel):
    """Base of the bodies: unknown fields are refused."""

    model_config = ConfigDict(extra="forbid", frozen=True)


class Passphrase(Sent):
    """The shop's passphrase, and what this browser is to be called in the list of sign-ins."""

    passphrase: Annotated[str, Field(max_length=1000)]
    label: Label = ""


class LinkToken(Sent):
    """The token of a sign-in link."""

    token: Annotated[str, Field(max_length=LONGEST)]
    label: Label = ""


class LinkWanted(Sent):
    """Where a sign-in link leads (a page of the bench), for whom it is, how many minutes it waits to be used."""

    leads_to: Annotated[str, Field(max_length=200)] = "/floor"
    label: Label = ""
    minutes: Annotated[int, Field(ge=1, le=60)] = 10


class TokenWanted(Sent):
    """What a token for a script is to be called."""

    label: Annotated[str, Field(min_length=1, max_length=LABEL)]


@dataclass(frozen=True, slots=True, kw_only=True)
class SignedIn:
    """Who this browser is. ``check`` goes into the header X-Bendwright-Check of whatever changes something, if it is not null."""

    lan: bool
    kind: Literal["office", "floor", "script", "here"] | None
    check: str | None
    leads_to: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class SessionListed:
    """One sign-in. ``own`` marks the one that asks."""

    id: str
    kind: str
    label: str
    address: str
    made_at: str
    seen_at: str
    expires_at: str
    own: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class LinkMade:
    """A link that works once: its address, the same as a QR code (SVG), and until when."""

    address: str
    qr_svg: str
    expires_at: str


@dataclass(frozen=True, slots=True, kw_only=True)
class TokenListed:
    """One token for scripts, by name. ``token`` is told once, when it is made."""

    id: str
    label: str
    made_at: str
    seen_at: str | None
    token: str | None = None


def sign_in_routes(settings: SecuritySettings, store: Callable[[], Store]) -> APIRouter:
    """The router, to be put under the interface's prefix."""
    router, attempts = APIRouter(tags=["sign-in"]), Attempts()
    desk = _Desk(settings, store, attempts)
    for method, path, answer, status in (
        ("GET", "/session", desk.session, 200),
        ("POST", "/sign-in", desk.sign_in, 200),
        ("POST", "/sign-in/link", desk.use_link, 200),
        ("POST", "/sign-out", desk.sign_out, 204),
        ("GET", "/sessions", desk.sessions, 200),
        ("DELETE", "/sessions/{session_id}", desk.end_session, 204),
        ("POST", "/links", desk.make_link, 201),
        ("GET", "/tokens", desk.tokens, 200),
        ("POST", "/tokens", desk.make_token, 201),
        ("DELETE", "/tokens/{token_id}", desk.end_token, 204),
    ):
        router.add_api_route(path, answer, methods=[method], status_code=status)
    return router


class _Desk:
    """What happens at each address."""

    def __init__(self, settings: SecuritySettings, store: Callable[[], Store], attempts: Attempts) -> None:
        self._settings, self._store, self._attempts = settings, store, attempts

    def session(self, request: Request) -> SignedIn:
        """Who is this? May be asked by anybody."""
        who: Who | None = request.state.who
        token = who.token if who is not None else ""
        return SignedIn(
            lan=self._settings.lan,
            kind=who.kind if who is not None else None,
            check=check_word(token) if token else None,
        )

    def sign_in(self, words: Passphrase, request: Request, response: Response) -> SignedIn:
        """Sign in by passphrase. 401 (B407) when it is wrong, 429 (B406) after too many wrong ones."""
        self._on_a_network()
        address = _address(request)
        self._may_try(address)
        if not passphrase_fits(words.passphrase, self._store().passphrase_hash()):
            raise HTTPException(401, found("B407", where="passphrase"))
        self._attempts.succeeded(address)
        return self._let_in("office", words.label, request, response)

    def use_link(self, words: LinkToken, request: Request, response: Response) -> SignedIn:
        """Sign a tablet in by the link it was shown; the link is used up. 401 (B408), 429 (B406)."""
        self._on_a_network()
        address = _address(request)
        self._may_try(address)
        link = self._store().use_link(kept_hash(words.token))
        if link is None:
            raise HTTPException(401, found("B408", where="link"))
        self._attempts.succeeded(address)
        return self._let_in("floor", words.label or link.label, request, response, link.leads_to)

    def sign_out(self, request: Request, response: Response) -> None:
        """End this session."""
        who: Who = request.state.who
        if who.session_id:
            self._store().end_session(who.session_id)
        response.headers["Set-Cookie"] = session_cookie("", self._settings.office, self._settings)

    def sessions(self, request: Request) -> list[SessionListed]:
        """Everybody who is signed in."""
        own = request.state.who.session_id
        return [_session(item, own) for item in self._store().sessions()]

    def end_session(self, session_id: str) -> None:
        """Sign somebody out. 404 (B409) when there is no such sign-in."""
        if not self._store().end_session(session_id[:40]):
            raise HTTPException(404, found("B409", where="session"))

    def make_link(self, words: LinkWanted, request: Request) -> LinkMade:
        """A link, and its QR code, by which a tablet signs in once."""
        self._on_a_network()
        leads_to, token = safe_way(words.leads_to), new_token()
        lasts = min(timedelta(minutes=words.minutes), self._settings.longest_link)
        link = self._store().add_link(kept_hash(token), leads_to=leads_to, label=words.label, lasts=lasts)
        scheme = "https" if self._settings.https else "http"
        address = f"{scheme}://{request.headers['host']}/sign-in#link={token}"
        return LinkMade(address=address, qr_svg=_qr(address), expires_at=link.expires_at.isoformat())

    def tokens(self) -> list[TokenListed]:
        """The tokens for scripts, without the tokens."""
        return [_token(item) for item in self._store().api_tokens()]

    def make_token(self, words: TokenWanted) -> TokenListed:
        """A token for a script, told this once."""
        self._on_a_network()
        token = API_MARK + new_token()
        return _token(self._store().add_api_token(kept_hash(token), label=words.label), token)

    def end_token(self, token_id: str) -> None:
        """End a token. 404 (B409) when there is none of this id."""
        if not self._store().end_api_token(token_id[:40]):
            raise HTTPException(404, found("B409", where="token"))

    def _let_in(
        self, kind: Literal["office", "floor"], label: str, request: Request, response: Response, way: str | None = None
    ) -> SignedIn:
        """A session under a new token, whatever cookie came with the request; the one that came ends."""
        before, store = session_token(request.headers, self._settings), self._store()
        old = store.session(kept_hash(before)) if before else None
        if old is not None:
            store.end_session(old.id)
        token, spell = new_token(), spell_of(kind, self._settings)
        store.add_session(
            kept_hash(token),
            kind=kind,
            label=label or request.headers.get("user-agent", "")[:60].encode("ascii", "ignore").decode(),
            address=_address(request),
            idle=spell.idle,
            longest=spell.longest,
        )
        response.headers["Set-Cookie"] = session_cookie(token, spell, self._settings)
        return SignedIn(lan=True, kind=kind, check=check_word(token), leads_to=way)

    def _may_try(self, address: str) -> None:
        wait = self._attempts.begin(address)
        if wait > 0.0:
            seconds = max(1, round(wait + 0.5))
            finding = found("B406", where="passphrase", seconds=seconds)
            raise HTTPException(429, finding, headers={"Retry-After": str(seconds)})

    def _on_a_network(self) -> None:
        if not self._settings.lan:
            raise InputError(found("B413", where="--lan"))


def _address(request: Request) -> str:
    return request.client.host[:64] if request.client is not None else "unknown"


def _session(item: Session, own: str) -> SessionListed:
    return SessionListed(
        id=item.id,
        kind=item.kind,
        label=item.label,
        address=item.address,
        made_at=item.made_at.isoformat(),
        seen_at=item.seen_at.isoformat(),
        expires_at=item.expires_at.isoformat(),
        own=item.id == own,
    )


def _token(item: ApiToken, token: str | None = None) -> TokenListed:
    seen = None if item.seen_at is None else item.seen_at.isoformat()
    return TokenListed(id=item.id, label=item.label, made_at=item.made_at.isoformat(), seen_at=seen, token=token)


def _qr(address: str) -> str:
    import segno

    out = io.BytesIO()
    segno.make(address, error="m", micro=False).save(out, kind="svg", xmldecl=False, scale=8, border=4)
    return out.getvalue().decode("utf-8")
