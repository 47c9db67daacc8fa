"""Messages: what an editor sends is handled, or refused with an error (JSON-RPC 2.0, and the
Language Server Protocol 3.17, Base Protocol and Lifecycle Messages).

A wrong request gets an error as its answer. A wrong notification gets none, as JSON-RPC has no
answer to it.
"""

from __future__ import annotations

from collections.abc import Generator, Mapping
from typing import Any

from cattrs import BaseValidationError, Converter, transform_error
from lsprotocol import types as lsp
from pygls.exceptions import (
    JsonRpcException,
    JsonRpcInvalidParams,
    JsonRpcInvalidRequest,
    JsonRpcParseError,
    JsonRpcServerNotInitialized,
)
from pygls.protocol import LanguageServerProtocol, default_converter, lsp_method
from pygls.protocol.json_rpc import JsonRPCNotification, JsonRPCRequestMessage

from ledger.editor.wire import Sent

_PLAIN = (str, int, float, bool)
_LONGEST = 300
"""The most characters of an error message."""


class Messages(LanguageServerProtocol):
    """Takes what an editor sends, one after the other."""

    _is_ready = False

    @lsp_method(lsp.INITIALIZE)
    def lsp_initialize(
        self, params: lsp.InitializeParams
    ) -> Generator[Any, Any, lsp.InitializeResult]:
        """What the server can do."""
        # Every editor knows UTF-16, and `positions` counts in nothing else.
        if params.capabilities.general is not None:
            params.capabilities.general.position_encodings = None
        result = yield from super().lsp_initialize(params)
        self._is_ready = True
        return result

    def take(self, sent: Sent) -> None:
        """Handle a message, or refuse it."""
        message = sent.value
        number = message.get("id") if isinstance(message, dict) else None
        try:
            if sent.fault is not None:
                raise JsonRpcParseError(sent.fault)
            _check_envelope(message)
            if "method" in message:
                self._check_order(message)
                self.handle_message(self._read(message))
            elif number in self._request_futures:
                self.handle_message(self.structure_message(message))
        except JsonRpcException as refused:
            is_notification = (
                isinstance(message, dict) and "method" in message and "id" not in message
            )
            if not is_notification:
                self._refuse(number if _is_id(number) else None, refused)

    def _refuse(self, number: int | str | None, refused: JsonRpcException) -> None:
        error = {"code": refused.code, "message": refused.message}
        self._send_data({"jsonrpc": self.VERSION, "id": number, "error": error})

    def _check_order(self, message: Mapping[str, Any]) -> None:
        """Raise JsonRpcException for a message that may not come now."""
        method = message["method"]
        if method == lsp.EXIT:
            return
        if self._shutdown:
            raise JsonRpcInvalidRequest("the server was shut down; only `exit` can follow")
        if not self._is_ready and method != lsp.INITIALIZE:
            raise JsonRpcServerNotInitialized("the first request has to be `initialize`")
        if self._is_ready and method == lsp.INITIALIZE:
            raise JsonRpcInvalidRequest("the server is initialized already")

    def _read(self, message: Mapping[str, Any]) -> Any:
        """The message with its params in the shape that the protocol gives them.

        Raises JsonRpcException.
        """
        method, is_request = message["method"], "id" in message
        fallback = JsonRPCRequestMessage if is_request else JsonRPCNotification
        kind = self.get_message_type(method) or fallback
        if is_request and not hasattr(kind, "id") and kind is not fallback:
            raise JsonRpcInvalidRequest(f"`{method}` is no request")
        try:
            return self._converter.structure({"params": None, **message}, kind)
        except BaseValidationError as wrong:
            problem = "; ".join(transform_error(wrong))
        except Exception as wrong:
            problem = str(wrong)
        raise JsonRpcInvalidParams(f"wrong params for `{method}`: {problem}"[:_LONGEST])


def strict_converter() -> Converter:
    """A strict converter: only a text is a text, and only a number is a number."""
    converter: Converter = default_converter()  # type: ignore[no-untyped-call]
    for kind in _PLAIN:
        converter.register_structure_hook(kind, _strict_value)
    return converter


def _strict_value(value: Any, kind: type) -> Any:
    if kind not in _PLAIN:
        # An enumeration, whose values are texts or numbers.
        return kind(value)
    if type(value) is not kind and not (kind is float and type(value) is int):
        raise ValueError(f"`{value!r}` is no {kind.__name__}")
    return value


def _check_envelope(message: Any) -> None:
    """Raise JsonRpcInvalidRequest for what is neither request, notification nor answer."""
    if not isinstance(message, dict):
        raise JsonRpcInvalidRequest("a message is a JSON object")
    if message.get("jsonrpc") != Messages.VERSION:
        raise JsonRpcInvalidRequest(f"a message has `jsonrpc` {Messages.VERSION}")
    if "id" in message and not _is_id(message["id"]):
        raise JsonRpcInvalidRequest("an `id` is a whole number or a text")
    if "method" in message:
        if not isinstance(message["method"], str):
            raise JsonRpcInvalidRequest("a `method` is a text")
        if not isinstance(message.get("params"), (dict, list, type(None))):
            raise JsonRpcInvalidParams("`params` are an object or a list")
    elif "id" not in message or not {"result", "error"} & message.keys():
        raise JsonRpcInvalidRequest("a message has a `method`, or answers one")


def _is_id(number: object) -> bool:
    return isinstance(number, (int, str)) and not isinstance(number, bool)
