"""Headers of every answer: a strict content policy, and no copy of a person's page in any cache."""

from collections.abc import Callable

from django.http import HttpRequest, HttpResponse

CONTENT_SECURITY_POLICY = "; ".join(
    [
        "default-src 'none'",
        "script-src 'self'",
        "style-src 'self'",
        "img-src 'self' data: blob:",
        "font-src 'self'",
        "connect-src 'self'",
        "manifest-src 'self'",
        "form-action 'self'",
        "frame-src 'self'",
        "base-uri 'none'",
        "frame-ancestors 'none'",
    ]
)


class SecurityHeaders:
    """Sets the policy on everything, and forbids caching of everything a view made."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        response = self.get_response(request)
        response.headers.setdefault("Content-Security-Policy", CONTENT_SECURITY_POLICY)
        response.headers.setdefault("Permissions-Policy", "camera=(self), geolocation=(), microphone=()")
        if "Cache-Control" not in response.headers:
            response.headers["Cache-Control"] = "no-store"
        return response
