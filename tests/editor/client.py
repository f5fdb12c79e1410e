"""Types in a plan as an editor does, through pygls, a client library that others have written.

Run as `python3 client.py PROGRAM`. Each step prints `ok` and its name; a wrong answer is an AssertionError.
"""

import asyncio
import pathlib
import sys
import tempfile

from lsprotocol import types
from pygls.lsp.client import LanguageClient

PLAN = """\
plan: 1
project: { name: A garden 🌳, country: US, region: US-OH, code: nec-2023, occupancy: one-family-dwelling }
use: [types.yaml]
site: { grid: ft }
supplies:
  - { id: S1, type: box, at: [0, 0], feed: { circuit: LT-3, breaker: 20 A } }
luminaires:
  - { id: L1, type: well, at: [40, 0] }
  - { id: L2, type: well, at: [55, 0] }
runs:
  - id: R1
    cable: burial
    route: [S1/12, L1, L2]
    lengths: [60 ft, 20 ft]
    method: direct-burial
    cover: 8 in
"""

TYPES = """\
schedule:
  luminaires:
    well: { power: 6 W, apparent-power: 7 VA, nominal: 12 V, input: { min: 9 V, max: 15 V } }
  cables:
    burial: { conductor: 12 AWG, kind: low-voltage-landscape, direct-burial: true }
  supplies:
    box:
      rating: 150 VA
      output-current: ac
      outputs: [{ name: "12", volts: 12 V, limit: 12.5 A, source-resistance: 12 mohm }]
      input-volts: 120 V
      listing: low-voltage-lighting
"""


class Editor:
    """One open plan, kept as the server is told that it is."""

    def __init__(self, client, path):
        self.client = client
        self.uri = path.as_uri()
        self.text = path.read_text(encoding="utf-8")
        self.version = 1
        self.shown = asyncio.Queue()

    async def findings(self):
        """What is shown of the present version."""
        while True:
            shown = await asyncio.wait_for(self.shown.get(), 120)
            if shown.uri == self.uri and shown.version == self.version:
                return shown.diagnostics
            assert shown.version is None or shown.version <= self.version, shown

    def place(self, marked):
        """The position of the mark `|`, in UTF-16."""
        at = self.text.index(marked.replace("|", "")) + marked.index("|")
        before = self.text[:at]
        column = before[before.rfind("\n") + 1 :].encode("utf-16-le")
        return types.Position(line=before.count("\n"), character=len(column) // 2)

    def offset(self, position):
        """The index of a position in UTF-16."""
        lines = self.text.split("\n")
        start = sum(len(line) + 1 for line in lines[: position.line])
        units = lines[position.line].encode("utf-16-le")[: position.character * 2]
        return start + len(units.decode("utf-16-le"))

    def at(self, place):
        return self.text[self.offset(place.start) : self.offset(place.end)]

    def apply(self, edits):
        """Makes changes, and tells the server each as a change of a range, the last one first."""
        changes = []
        for edit in sorted(edits, key=lambda edit: self.offset(edit.range.start), reverse=True):
            start, end = self.offset(edit.range.start), self.offset(edit.range.end)
            changes.append(types.TextDocumentContentChangePartial(range=edit.range, text=edit.new_text))
            self.text = self.text[:start] + edit.new_text + self.text[end:]
        self.version += 1
        self.client.text_document_did_change(
            types.DidChangeTextDocumentParams(
                text_document=types.VersionedTextDocumentIdentifier(uri=self.uri, version=self.version),
                content_changes=changes,
            )
        )

    def replace(self, old, new):
        """Replaces one text by another one."""
        assert self.text.count(old) == 1, old
        start = self.place("|" + old)
        end = types.Position(line=start.line, character=start.character + len(old))
        self.apply([types.TextEdit(range=types.Range(start=start, end=end), new_text=new)])

    def document(self):
        return types.TextDocumentIdentifier(uri=self.uri)


def ok(step):
    print("ok", step, flush=True)


async def main(program, folder):
    (folder / "lintern.yaml").write_text("lintern: 1\n", encoding="utf-8")
    (folder / "types.yaml").write_text(TYPES, encoding="utf-8")
    plan = folder / "garden.yaml"
    plan.write_text(PLAN, encoding="utf-8")

    client = LanguageClient("editor", "1")
    editor = Editor(client, plan)

    @client.feature(types.TEXT_DOCUMENT_PUBLISH_DIAGNOSTICS)
    def shown(params: types.PublishDiagnosticsParams):
        editor.shown.put_nowait(params)

    await client.start_io(program, "serve", "--as-of", "2026-03-01")
    able = types.ClientCapabilities(
        workspace=types.WorkspaceClientCapabilities(
            workspace_edit=types.WorkspaceEditClientCapabilities(document_changes=True)
        ),
        text_document=types.TextDocumentClientCapabilities(
            hover=types.HoverClientCapabilities(content_format=[types.MarkupKind.Markdown])
        ),
    )
    begun = await client.initialize_async(
        types.InitializeParams(capabilities=able, process_id=None, root_uri=folder.as_uri())
    )
    assert begun.capabilities.position_encoding == types.PositionEncodingKind.Utf16
    client.initialized(types.InitializedParams())
    client.text_document_did_open(
        types.DidOpenTextDocumentParams(
            text_document=types.TextDocumentItem(uri=editor.uri, language_id="yaml", version=1, text=editor.text)
        )
    )
    first = await editor.findings()
    assert all(finding.source == "lintern" for finding in first), first
    assert not any(finding.severity == types.DiagnosticSeverity.Error for finding in first), first
    ok("findings")

    # A letter at a time: only the last version is waited for.
    editor.replace("cover: 8 in", "cover: 8 i")
    editor.replace("cover: 8 i\n", "cover: \n")
    editor.replace("cover: \n", "cover: 3 in\n")
    found = await editor.findings()
    shallow = [finding for finding in found if finding.code == "burial/shallow-cover"]
    assert len(shallow) == 1 and shallow[0].severity == types.DiagnosticSeverity.Error, found
    assert editor.at(shallow[0].range) == "3 in"
    assert plan.read_text(encoding="utf-8") == PLAN, "nothing is written"
    ok("typing")

    hover = await client.text_document_hover_async(
        types.HoverParams(text_document=editor.document(), position=editor.place("id: L|2"))
    )
    for wanted in ["L2: a luminaire, well", "V with conductors at 75 degC, the judged case", "- fed by: S1/12"]:
        assert wanted in hover.contents.value, hover
    ok("hover")

    editor.replace("    method: direct-burial\n", "    method: direct-burial\n    ri")
    offered = await client.text_document_completion_async(
        types.CompletionParams(text_document=editor.document(), position=editor.place("    ri|"))
    )
    riser = next(item for item in offered.items if item.label == "riser")
    assert "cover" not in [item.label for item in offered.items]
    editor.apply([riser.text_edit])
    assert "    riser: " in editor.text, editor.text
    offered = await client.text_document_completion_async(
        types.CompletionParams(text_document=editor.document(), position=editor.place("riser: |"))
    )
    conduit = next(item for item in offered.items if item.label == "pvc-conduit")
    editor.apply([conduit.text_edit])
    editor.replace("riser: pvc-conduit", "riser: pvc-conduit\n")
    found = await editor.findings()
    assert not any(finding.code is None for finding in found), found
    ok("completion")

    there = await client.text_document_definition_async(
        types.DefinitionParams(text_document=editor.document(), position=editor.place("cable: bur|ial"))
    )
    assert there.uri == (folder / "types.yaml").as_uri(), there
    assert TYPES.split("\n")[there.range.start.line].strip().startswith("burial:"), there
    ok("definition")

    uses = await client.text_document_references_async(
        types.ReferenceParams(
            text_document=editor.document(),
            position=editor.place("id: S|1"),
            context=types.ReferenceContext(include_declaration=True),
        )
    )
    assert [editor.at(use.range) for use in uses] == ["S1", "S1/12"], uses
    ok("references")

    renamed = await client.text_document_rename_async(
        types.RenameParams(text_document=editor.document(), position=editor.place("[S|1/12"), new_name="porch")
    )
    change = renamed.document_changes[0]
    assert change.text_document.version == editor.version
    editor.apply(change.edits)
    assert "id: porch" in editor.text and "route: [porch/12, L1, L2]" in editor.text, editor.text
    found = await editor.findings()
    assert not any(finding.code is None for finding in found), found
    ok("rename")

    try:
        await client.text_document_rename_async(
            types.RenameParams(text_document=editor.document(), position=editor.place("id: L|2"), new_name="L1")
        )
        raise AssertionError("a taken id is accepted")
    except Exception as error:  # The library has its own class for each code.
        assert "`L1` is taken" in str(error), error
    ok("refusal")

    shallow = next(finding for finding in found if finding.code == "burial/shallow-cover")
    actions = await client.text_document_code_action_async(
        types.CodeActionParams(
            text_document=editor.document(),
            range=shallow.range,
            context=types.CodeActionContext(diagnostics=[shallow], trigger_kind=types.CodeActionTriggerKind.Invoked),
        )
    )
    assert actions and actions[0].kind == types.CodeActionKind.QuickFix, actions
    editor.apply(actions[0].edit.document_changes[0].edits)
    found = await editor.findings()
    assert not any(finding.code == "burial/shallow-cover" for finding in found), found
    ok("cure")

    outline = await client.text_document_document_symbol_async(
        types.DocumentSymbolParams(text_document=editor.document())
    )
    assert [symbol.name for symbol in outline] == ["porch", "L1", "L2", "R1"], outline
    ok("outline")

    await client.shutdown_async(None)
    client.exit(None)
    code = await asyncio.wait_for(client._server.wait(), 60)
    assert code == 0, code
    await client.stop()
    ok("end")


with tempfile.TemporaryDirectory() as temporary:
    asyncio.run(main(sys.argv[1], pathlib.Path(temporary).resolve()))
