"""The pages of the desk and what they answer."""

from __future__ import annotations

import tempfile
from collections.abc import Callable
from pathlib import Path
from typing import Any
from urllib.parse import quote, unquote

from starlette.applications import Starlette
from starlette.requests import Request
from starlette.responses import HTMLResponse, PlainTextResponse, RedirectResponse, Response
from starlette.routing import Route

from crossproof.desk.deciding import MOST_AT_ONCE, Form, decide, parse_form, take_back
from crossproof.desk.desk import Desk, Notice
from crossproof.desk.export import export
from crossproof.desk.filters import PAGE, SORTS, parse_filter
from crossproof.desk.guard import BODY, Guard
from crossproof.desk.pages import policy, render
from crossproof.desk.queue import look, neighbours, progress
from crossproof.desk.record import load_record
from crossproof.desk.showing import names_of, record_content, row_of, ruling_rows
from crossproof.folder import FolderRefused
from crossproof.report.wording import reason_words
from crossproof.rulings.ledger import LedgerError
from crossproof.rulings.records import OutputError
from crossproof.rulings.ruling import RulingError, held, standing
from crossproof.rulings.sheet import write_rulings

_BY = "crossproof-desk-by"
_YEAR_S = 365 * 24 * 3600
_ICON = (  # a leaf
    '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 16 16">'
    '<path fill="#4f7a4c" d="M2 2h6q6 0 6 6v6H8q-6 0-6-6z"/></svg>'
)


def make_app(desk: Desk, *, token: str, port: int) -> Guard:
    """The application of one desk, behind its guard."""
    routes = [
        Route("/", _page(desk, _queue)),
        Route("/record/{number:int}", _page(desk, _record)),
        Route("/icon.svg", _page(desk, _icon)),
        Route("/photo/{number:int}/{place:int}", _page(desk, _photo)),
        Route("/rulings", _page(desk, _rulings)),
        Route("/rulings.csv", _page(desk, _rulings_table)),
        Route("/rule", _page(desk, _rule), methods=["POST"]),
        Route("/undo", _page(desk, _undo), methods=["POST"]),
        Route("/export", _page(desk, _export), methods=["POST"]),
    ]
    return Guard(Starlette(routes=routes), token=token, port=port, policy=policy())


def _page(desk: Desk, answer: Callable[[Desk, Request], Response]) -> Callable[..., Response]:
    """An endpoint that answers in words whatever goes wrong with the folder or a form."""

    def endpoint(request: Request) -> Response:
        try:
            return answer(desk, request)
        except RulingError as error:
            return _trouble(desk, request, str(error), 422)
        except (FolderRefused, OutputError, LedgerError) as error:
            return _trouble(desk, request, str(error), 503)
        except OSError as error:
            where = f" ({error.filename})" if error.filename else ""
            return _trouble(desk, request, f"that failed{where}: {error.strerror}", 503)

    return endpoint


def _trouble(desk: Desk, request: Request, message: str, status: int) -> Response:
    page = render("trouble", message=message, back=_back(request), folder=desk.folder.name)
    return HTMLResponse(page, status)


def _back(request: Request) -> str:
    """The page a form came from, if it is one of ours."""
    came, host = request.headers.get("referer", ""), f"http://{request.headers.get('host', '')}/"
    return f"/{came.removeprefix(host)}" if came.startswith(host) else "/"


def _by(desk: Desk, request: Request) -> str:
    return unquote(request.cookies.get(_BY, ""))[:200] or desk.by


def _notice(desk: Desk, request: Request) -> Notice | None:
    return desk.notices.get(request.query_params.get("said", ""))


def _common(desk: Desk, request: Request) -> dict[str, Any]:
    return {
        "notice": _notice(desk, request),
        "by": _by(desk, request),
        "today": desk.today(),
        "folder": desk.folder.name,
    }


def _queue(desk: Desk, request: Request) -> Response:
    wanted = parse_filter(request.query_params)
    with desk.store.open() as connection:
        queue = look(connection, wanted)
        done, whole = progress(connection)
    books = list(desk.books.values())
    page = render(
        "queue",
        **_common(desk, request),
        filter=wanted,
        queue=queue,
        rows=[row_of(row, desk) for row in queue.rows],
        done=done,
        whole=whole,
        sorts=SORTS,
        first=(wanted.page - 1) * PAGE + 1,
        most=MOST_AT_ONCE,
        reason_words=lambda reason: reason_words(reason, books),
        names=names_of(desk, list(desk.books)),
        reasons=_reasons(desk),
    )
    return HTMLResponse(page)


def _reasons(desk: Desk) -> list[str]:
    """Reasons given before, the latest first, to be given again with one key."""
    given = (entry.reason for entry in reversed(desk.store.ledger.entries()) if entry.reason)
    return list(dict.fromkeys(given))[:12]


def _record(desk: Desk, request: Request) -> Response:
    return _record_page(desk, request, request.path_params["number"])


def _record_page(
    desk: Desk, request: Request, number: int, error: str = "", form: Form | None = None
) -> Response:
    wanted = parse_filter(form.filter_query if form else request.query_params)
    with desk.store.open() as connection:
        record = load_record(connection, number)
        if record is None:
            return _trouble(desk, request, "there is no such record", 404)
        content = record_content(desk, connection, record)
        before, after, at = neighbours(connection, wanted, number)
    page = render(
        "record",
        **_common(desk, request),
        **content,
        filter=wanted,
        before=before,
        after=after,
        at=at,
        error=error,
        form=form,
        reasons=_reasons(desk),
    )
    return HTMLResponse(page, 422 if error else 200)


def _icon(desk: Desk, request: Request) -> Response:
    return Response(_ICON, media_type="image/svg+xml", headers={"cache-control": "max-age=3600"})


def _photo(desk: Desk, request: Request) -> Response:
    with desk.store.open() as connection:
        record = load_record(connection, request.path_params["number"])
    place = request.path_params["place"]
    if record is None or place >= len(record.photos):
        return PlainTextResponse("There is no such photo.\n", 404)
    row = record.photos[place]
    image = desk.photos.image(row.get("providerManagedID") or row.get("accessURI", ""))
    if image is None:
        return PlainTextResponse("The photo is not in the folder given.\n", 404)
    headers = {"cache-control": "private, max-age=3600", "content-disposition": "inline"}
    return Response(image[0], media_type=image[1], headers=headers)


def _rule(desk: Desk, request: Request) -> Response:
    form = parse_form(request.scope[BODY])
    single = not form.everything and len(form.chosen) == 1 and form.onward
    after = 0
    if single:
        with desk.store.open() as connection:
            _, after, _ = neighbours(connection, form.filter, form.chosen[0][0])
    try:
        notice = decide(desk, form)
    except RulingError as error:
        if single:
            return _record_page(desk, request, form.chosen[0][0], str(error), form)
        raise
    said = desk.note(notice)
    path = f"/record/{after}" if after else "/"
    answer = RedirectResponse(f"{path}?{form.filter.query(page=form.filter.page)}&said={said}", 303)
    answer.set_cookie(
        _BY, quote(form.by), max_age=_YEAR_S, path="/", httponly=True, samesite="strict"
    )
    return answer


def _undo(desk: Desk, request: Request) -> Response:
    notice = take_back(desk, request.scope[BODY], _by(desk, request) or "the desk")
    back = _back(request).partition("#")[0]
    path, _, query = back.partition("?")
    kept = "&".join(part for part in query.split("&") if part and not part.startswith("said="))
    return RedirectResponse(f"{path}?{kept}&said={desk.note(notice)}".replace("?&", "?"), 303)


def _rulings(desk: Desk, request: Request) -> Response:
    page = render(
        "rulings",
        **_common(desk, request),
        rows=ruling_rows(desk),
        export_to=str(desk.export_to),
    )
    return HTMLResponse(page)


def _rulings_table(desk: Desk, request: Request) -> Response:
    entries = desk.store.ledger.entries()
    with desk.store.open() as connection:
        said = dict(connection.execute("SELECT occurrence, content FROM record"))
    states = {entry.ruling.uid: entry for entry in held(standing(entries), said)}
    with tempfile.TemporaryDirectory() as home:
        path = Path(home) / "rulings.csv"
        write_rulings(path, [states.get(entry.uid, entry) for entry in entries])
        text = path.read_bytes()
    headers = {"content-disposition": 'attachment; filename="rulings.csv"'}
    return Response(text, media_type="text/csv; charset=utf-8", headers=headers)


def _export(desk: Desk, request: Request) -> Response:
    rulings = export(desk.folder, desk.export_to, [*desk.books.values()])["rulings"]
    stale = rulings["changed"] + rulings["gone"]
    left = f" {stale:,} stale, not applied: they need another look." if stale else ""
    text = f"Written to {desk.export_to}: {rulings['applied']:,} rulings are in it.{left}"
    return RedirectResponse(f"/rulings?said={desk.note(Notice(text=text))}", 303)
