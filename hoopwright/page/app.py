"""The application: what is answered at which address."""

from __future__ import annotations

from collections.abc import AsyncIterator, Awaitable, Callable, Mapping, Sequence
from contextlib import asynccontextmanager
from pathlib import Path, PurePosixPath
from typing import Any
from urllib.parse import parse_qsl, quote

from starlette.applications import Starlette
from starlette.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import JSONResponse, PlainTextResponse, RedirectResponse, Response
from starlette.routing import Route
from starlette.types import ASGIApp

from hoopwright.case.reader_units import system_of
from hoopwright.errors import CaseError, HoopwrightError, OutputError
from hoopwright.page.bench import Benches, with_rejected
from hoopwright.page.case_files import ENDING, CaseFiles, ChangedOnDiskError, NoSuchCaseError, digest_of
from hoopwright.page.changes import MAX_EDITS, change
from hoopwright.page.guard import FILE_POLICY, PAPER_POLICY, POLICY_HEADER, Door, Guard, may_change
from hoopwright.page.model import Bench, BesideText, Done, Edit, Form, Step, first_value
from hoopwright.page.parts import Parts
from hoopwright.page.render import FIRST_STEP, Pages, case_address, news_of
from hoopwright.page.solver import Solver
from hoopwright.page.work import Work
from hoopwright.starters import PIECES, starter_text

FORM = "application/x-www-form-urlencoded"
TOKEN_HEADER = "x-hoopwright-token"
AFTER_CHANGE = ("verdict", "steps", "digest")
"""Parts of the page that a change of the case changes beside the step."""
WITH_NEWS = ("answers",)
"""Parts of a step that the worker's news change."""
AT_REST = (*WITH_NEWS, "when-done")
"""The same once nothing is at work: with what holds fields and is not exchanged before."""
NOT_ASKED = ("step", "seen", "token", "stage")
"""What an address may say that is not where a step is."""
CHANGED = "the case was changed meanwhile, so nothing was written; look, and enter it again"
NOT_ASKED_FOR = "Nothing was done: the case was changed meanwhile. Look at it, then ask again."
PDF, DOWNLOAD = "application/pdf", "application/octet-stream"
OPENED = {
    ".pdf": PDF,
    ".png": "image/png",
    ".svg": "image/svg+xml",
    ".json": "application/json",
    ".vtu": DOWNLOAD,
    ".dxf": DOWNLOAD,
}
"""What a file is by its name, and never by what is in it; any other is shown as text."""
FOR_A_YEAR = "public, max-age=31536000, immutable"


def create_app(
    folder: Path, door: Door, *, parts: Parts | None = None, work: Work | None = None
) -> ASGIApp:
    """The application on the case files of a folder. parts, work: others than its own."""
    files = CaseFiles(folder)
    work = work or Work(Solver(files.folder))
    page = Page(Benches(files, work), Pages(files, parts or Parts(), door), door)

    @asynccontextmanager
    async def lifespan(_: Starlette) -> AsyncIterator[None]:
        work.start()
        try:
            yield
        finally:
            await run_in_threadpool(work.close)

    errors: dict[Any, Any] = {HoopwrightError: page.fault, HTTPException: page.http_error}
    return Guard(Starlette(routes=page.routes(), exception_handlers=errors, lifespan=lifespan), door)


class Page:
    """The answers."""

    def __init__(self, benches: Benches, pages: Pages, door: Door) -> None:
        self.benches, self.pages, self.door = benches, pages, door
        self.files, self.work = benches.files, benches.work
        self.steps = {step.id: step for step in pages.parts.steps}

    def routes(self) -> list[Route]:
        case = "/case/{file}"
        return [
            Route("/", self.index),
            Route("/new", self._changing(self.new), methods=["POST"]),
            Route("/static/{name}", self.static),
            Route("/record/{name}/{path:path}", self.record_file),
            Route("/paper/{name}", self.paper),
            Route(f"{case}/set", self._changing(self.set), methods=["POST"]),
            Route(f"{case}/units", self._changing(self.units), methods=["POST"]),
            Route(f"{case}/cancel", self._changing(self.cancel), methods=["POST"]),
            Route(f"{case}/state", self.state),
            Route(f"{case}/row/{{row}}", self.row),
            Route(f"{case}/curves.json", self.curves),
            Route(f"{case}/maps.json", self.maps),
            Route(f"{case}/{{step}}", self.step),
            Route(f"{case}/do/{{step}}/{{action}}", self._changing(self.act), methods=["POST"]),
            Route(case, self.first),
        ]

    def _changing(
        self, act: Callable[[Request, Form], Response]
    ) -> Callable[[Request], Awaitable[Response]]:
        """An answer to a form, once it has shown that it comes from this page."""

        async def answer(request: Request) -> Response:
            if request.headers.get("content-type", "").partition(";")[0].strip() != FORM:
                return PlainTextResponse("Only forms are taken.", 415)
            form: dict[str, list[str]] = {}
            try:
                sent = (await request.body()).decode("utf-8")
                pairs = parse_qsl(
                    sent, keep_blank_values=True, max_num_fields=4 * MAX_EDITS, errors="strict"
                )
            except ValueError:
                return PlainTextResponse("Not a form that can be read.", 400)
            for name, value in pairs:
                form.setdefault(name, []).append(value)
            tokens = (request.headers.get(TOKEN_HEADER), *form.get("token", ()))
            if not any(may_change(self.door, token) for token in tokens):
                return PlainTextResponse("Not sent by this page. Load it again.", 403)
            return await run_in_threadpool(act, request, form)

        return answer

    # -- the folder ------------------------------------------------------------------------

    def index(self, request: Request) -> Response:
        return self.pages.index(typed={"piece": request.query_params.get("piece", "")})

    def new(self, _: Request, form: Form) -> Response:
        file, piece, units = (first_value(form, name).strip() for name in ("file", "piece", "units"))
        file = file if not file or file.endswith(ENDING) else file + ENDING
        typed = {"file": file, "piece": piece, "units": units}
        if piece not in PIECES or units not in ("metric", "inch"):
            return self.pages.index(problem="Choose a piece and units.", typed=typed, status=422)
        try:
            self.files.create(file, starter_text(piece, system_of(units)))
        except (CaseError, OutputError) as error:
            return self.pages.index(problem=str(error), typed=typed, status=422)
        return RedirectResponse(case_address(file), 303)

    def static(self, request: Request) -> Response:
        found = self.pages.static.get(request.path_params["name"])
        if found is None:
            raise HTTPException(404)
        kept = FOR_A_YEAR if request.query_params.get("v") == found.version else "no-store"
        return Response(found.content, media_type=found.type, headers={"Cache-Control": kept})

    def record_file(self, request: Request) -> Response:
        """A file of a record in the folder."""
        name, path = request.path_params["name"], request.path_params["path"]
        return _opened(path, self.benches.outputs.file_of(name, path))

    def paper(self, request: Request) -> Response:
        """A shop sheet or a drawing in the folder."""
        name = request.path_params["name"]
        return _opened(name, self.benches.outputs.paper(name))

    # -- a case ----------------------------------------------------------------------------

    def first(self, request: Request) -> Response:
        return RedirectResponse(case_address(self._bench(request).file), 303)

    def step(self, request: Request) -> Response:
        """A whole page; what its step shows is asked for."""
        step = self._step(request.path_params["step"])
        bench = self._bench(request)
        self.benches.ask(bench, step.needs)
        return self.pages.whole(self._bench(request), step)

    def set(self, request: Request, form: Form) -> Response:
        step = self._step(first_value(form, "step") or FIRST_STEP)
        paths, values = form.get("path", []), form.get("value", [])
        if not paths or len(paths) != len(values) or len(paths) > MAX_EDITS:
            return PlainTextResponse("Every path goes with one value.", 400)
        edits = tuple(Edit(path, typed) for path, typed in zip(paths, values, strict=True))
        return self._take(request, step, form, Done(edits))

    def act(self, request: Request, form: Form) -> Response:
        """Something that a step does beside setting values."""
        step = self._step(request.path_params["step"])
        found = step.actions.get(request.path_params["action"])
        if found is None:
            raise HTTPException(404)
        return self._take(request, step, form, found(self._bench(request, form=form), form))

    def _take(self, request: Request, step: Step, form: Form, done: Done) -> Response:
        """Write what is done, all of it or nothing of the case, and show the step as it is then."""
        bench, edits = self._bench(request, form=form), done.edits
        found = self.files.read(bench.file)
        if _seen(form)[0] != found.digest:
            lost = {} if done.beside is None else {"press.log": (done.beside.name, CHANGED)}
            if done.ask:
                lost = {"ask": ("", NOT_ASKED_FOR)}
            return self._show(request, step, form, changed=edits, rejected=lost, status=409)
        if done.rejected:
            return self._show(request, step, form, rejected=done.rejected, status=422)
        if done.beside is not None and (words := self._not_beside(done.beside)):
            return self._show(
                request, step, form, rejected={"press.log": (done.beside.name, words)}, status=422
            )
        made = change(self.benches, found, edits, system_of(bench.units.system))
        if made.rejected:
            return self._show(request, step, form, rejected=made.rejected, status=422)
        if made.text != found.text:
            try:
                self.files.write(found.file, made.text, digest=found.digest)
            except ChangedOnDiskError:
                return self._show(request, step, form, changed=edits, status=409)
            except OutputError as error:
                not_written = {one.path: (one.typed, _words(error)) for one in edits}
                return self._show(request, step, form, rejected=not_written, status=500)
        if done.ask:
            now = self._bench(request, form=form)
            if now.digest != digest_of(made.text.encode("utf-8", "surrogateescape")):
                return self._show(request, step, form, rejected={"ask": ("", NOT_ASKED_FOR)}, status=409)
            self.benches.order(now, done.ask)
        return self._show(request, step, form, asked=done.asked)

    def _not_beside(self, text: BesideText) -> str:
        """Write a file beside the case; why it was not written, "" where it was."""
        try:
            self.files.write_beside(text)
        except HoopwrightError as error:
            return _words(error)
        return ""

    def _show(
        self,
        request: Request,
        step: Step,
        form: Form,
        *,
        changed: Sequence[Edit] = (),
        rejected: Mapping[str, tuple[str, str]] | None = None,
        asked: Mapping[str, str] | None = None,
        status: int = 200,
    ) -> Response:
        """The step as it is now: parts of the page for the script, the whole page where there is none.
        asked: where it goes on, where not where it was."""
        bench = self._bench(request, asked, form)
        self.benches.ask(bench, step.needs)
        bench = with_rejected(self._bench(request, asked, form), rejected or {})
        if "hx-request" in request.headers:
            shown = self.pages.parts_of(bench, step, "step", AFTER_CHANGE, changed=changed, status=status)
            if asked is not None:
                shown.headers["HX-Replace-Url"] = case_address(bench.file, step.id, asked)
            return shown
        if status != 200:
            return self.pages.whole(bench, step, changed=changed, status=status)
        return RedirectResponse(case_address(bench.file, step.id, bench.asked), 303)

    def units(self, request: Request, form: Form) -> Response:
        """The units of the page, which are no change of the case."""
        bench, units = self._bench(request), first_value(form, "units")
        step = self._step(first_value(form, "step") or FIRST_STEP)
        if units not in ("metric", "inch"):
            return PlainTextResponse("Units are metric or inch.", 400)
        answer = RedirectResponse(case_address(bench.file, step.id), 303)
        path = f"/case/{quote(bench.file, safe='')}"
        answer.set_cookie("units", units, path=path, httponly=True, samesite="strict")
        return answer

    def cancel(self, request: Request, form: Form) -> Response:
        file = self._bench(request).file
        self.work.cancel(file)
        step = self._step(first_value(form, "step") or FIRST_STEP)
        if "hx-request" in request.headers:
            return self.pages.parts_of(self._bench(request), step, "", ("verdict", "answers"))
        return RedirectResponse(case_address(file, step.id), 303)

    def state(self, request: Request) -> Response:
        """What the worker's news change on the page: the verdict, which asks for it, and what goes with it;
        nothing where there is no news."""
        step = self._step(request.query_params.get("step", ""))
        bench = self._bench(request)
        if request.query_params.get("seen") == news_of(bench):
            return Response(status_code=204)
        return self.pages.parts_of(bench, step, "verdict", WITH_NEWS if bench.at_work else AT_REST)

    def row(self, request: Request) -> Response:
        found = self.pages.row(
            self._bench(request), request.path_params["row"], request.query_params.get("stage", "")
        )
        if found is None:
            raise HTTPException(404)
        return found

    def curves(self, request: Request) -> Response:
        """The curves that the slider goes along, of the case as it stands alone."""
        bench = self._bench(request)
        found = bench.answer("curves")
        if found is None or not bench.is_current("curves"):
            raise HTTPException(404)
        return JSONResponse(found)

    def maps(self, request: Request) -> Response:
        """The values of the maps, of the case as it stands alone."""
        bench = self._bench(request)
        found = bench.answer("maps")
        if found is None or not bench.is_current("maps"):
            raise HTTPException(404)
        return JSONResponse(found)

    def _bench(
        self, request: Request, asked: Mapping[str, str] | None = None, form: Form | None = None
    ) -> Bench:
        """form: what was sent, whose numbers are in the units that its page showed: another page may have
        been switched since."""
        if asked is None:
            asked = {name: value for name, value in request.query_params.items() if name not in NOT_ASKED}
        units = _seen(form or {})[1] or request.cookies.get("units", "")
        return self.benches.bench(request.path_params["file"], units, asked)

    def _step(self, id_: str) -> Step:
        if id_ not in self.steps:
            raise HTTPException(404)
        return self.steps[id_]

    # -- what goes wrong -------------------------------------------------------------------

    def fault(self, _: Request, error: Exception) -> Response:
        assert isinstance(error, HoopwrightError)
        return self.pages.problem(str(error), 404 if isinstance(error, NoSuchCaseError) else 422)

    def http_error(self, _: Request, error: Exception) -> Response:
        assert isinstance(error, HTTPException)
        words = {404: "There is nothing at this address.", 405: "That cannot be done with this address."}
        answer = self.pages.problem(words.get(error.status_code, error.detail), error.status_code)
        if allowed := (error.headers or {}).get("Allow"):  # RFC 9110, 15.5.6: a 405 says what can be done
            answer.headers["Allow"] = ", ".join(sorted(allowed.split(", ")))
        return answer


def _opened(name: str, content: bytes | None) -> Response:
    """A file that was made, to be read or kept; None where there is no such file that may be opened."""
    if content is None:
        raise HTTPException(404)
    kind = OPENED.get(PurePosixPath(name).suffix, "text/plain; charset=utf-8")
    how = "attachment" if kind == DOWNLOAD else "inline"
    file = quote(PurePosixPath(name).name, safe="")
    policy = PAPER_POLICY if kind == PDF else FILE_POLICY
    headers = {POLICY_HEADER: policy, "Content-Disposition": f"{how}; filename*=UTF-8''{file}"}
    return Response(content, media_type=kind, headers=headers)


def _seen(form: Form) -> tuple[str, str]:
    """The digest of the text that a form was made from, and the units that its page showed: those of the
    numbers that were typed there, whatever another page has chosen since."""
    digest, _, units = first_value(form, "digest").partition("-")
    return digest, units


def _words(error: HoopwrightError) -> str:
    """Why a file was not written, without its place."""
    return "; ".join(part for part in (error.faults[0].problem, error.faults[0].advice) if part)
