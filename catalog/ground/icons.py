"""Small line drawings on a 24 px grid, stroke 1.75, ours. Named for what they mean, always shown beside a word."""

from html import escape

ICONS: dict[str, str] = {
    # frame
    "find": '<circle cx="10.5" cy="10.5" r="6.5"/><path d="M15.5 15.5 21 21"/>',
    "scan": '<path d="M3 8V3h5M16 3h5v5M21 16v5h-5M8 21H3v-5"/>'
    '<path d="M7.5 7.5H11V11H7.5zM13.5 13.5h3v3M13.5 7.5h3v3M7.5 13.5v3h3"/>',
    "today": '<path d="M2 16h20M6 16a6 6 0 0 1 12 0M12 3v3M4.5 6.5l2 2M19.5 6.5l-2 2M8 20h8"/>',
    "person": '<circle cx="12" cy="7.5" r="4"/><path d="M4 21c.5-5 3.5-7 8-7s7.5 2 8 7"/>',
    "key": '<circle cx="8" cy="14" r="4.5"/><path d="m11.5 10.5 8-7M16.5 6l3 3M14 8.5l2 2"/>',
    # places and things
    "shelf": '<path d="M4 3v18M20 3v18M4 9h16M4 17h16"/><path d="M8 9V5h4v4M13 17v-5h4v5"/>',
    "crate": '<path d="M3 7h18v13H3zM3 11.5h18M7 7v13M17 7v13"/><path d="M9 7V4h6v3"/>',
    "van": '<path d="M2 7h11v9H2zM13 10h5l4 3.5V16h-9z"/><circle cx="6.5" cy="18" r="2"/><circle cx="17.5" cy="18" r="2"/>',
    "pin": '<path d="M12 21s7-6.5 7-12a7 7 0 0 0-14 0c0 5.5 7 12 7 12z"/><circle cx="12" cy="9" r="2.5"/>',
    "column": '<path d="M8 2h8v20H8zM8 7h8M8 12h8M8 16h8"/>',
    "book": '<path d="M4 4h7l1 1 1-1h7v15h-7l-1 1-1-1H4zM12 5v15"/>',
    "label": '<path d="M8 5h13v14H8l-5-5v-4z"/><circle cx="8.5" cy="12" r="1.3"/><path d="M12.5 10H18M12.5 14H16"/>',
    # deeds
    "add": '<path d="M12 5v14M5 12h14"/>',
    "spade": '<path d="M9 3h6M12 3v9M7.5 12h9v3.5c0 3-2 5-4.5 6-2.5-1-4.5-3-4.5-6z"/>',
    "broke": '<path d="M13 2 9.5 8l4 3-5 4.5L12 22"/><path d="M4 6v12M20 6v12"/>',
    "join": '<path d="M3 6h7l2 3-2 3 2 3-2 3H3zM21 6h-6l2 3-2 3 2 3-2 3h6z"/>',
    "examine": '<path d="M2 12s3.5-6 10-6 10 6 10 6-3.5 6-10 6S2 12 2 12z"/><circle cx="12" cy="12" r="2.8"/>',
    "weigh": '<path d="M12 4v16M6 20h12M4 8h16"/><path d="M1.5 14 4 8l2.5 6a2.7 2.7 0 0 1-5 0zM17.5 14 20 8l2.5 6a2.7 2.7 0 0 1-5 0z"/>',
    "measure": '<path d="M3 8h18v8H3zM7 8v4M11 8v3M15 8v4M19 8v3"/>',
    "camera": '<path d="M3 7h4l2-3h6l2 3h4v13H3z"/><circle cx="12" cy="13" r="4"/>',
    "print": '<path d="M6 9V3h12v6M6 18H3V9h18v9h-3M7 14h10v7H7z"/>',
    "export": '<path d="M12 3v11M7.5 10 12 14.5 16.5 10M4 16v5h16v-5"/>',
    "letter": '<path d="M3 5h18v14H3zM3 6l9 7 9-7"/>',
    "undo": '<path d="M8 4 3 9l5 5"/><path d="M3 9h11a6 6 0 0 1 0 12h-4"/>',
    "pencil": '<path d="M4 20l1-4.5L16.5 4 20 7.5 8.5 19z"/><path d="M14 6.5l3.5 3.5"/>',
    "seal": '<circle cx="12" cy="10" r="6.5"/><path d="M8.5 15.5 7 22l5-2.5L17 22l-1.5-6.5M9.5 10l2 2 3.5-4"/>',
    "torch": '<path d="M8 3h8v3l-2 4v11h-4V10L8 6zM8 6h8M12 13v2"/>',
    # states and cautions
    "there": '<path d="M4 12.5l5 5L20 6.5"/>',
    "missing": '<circle cx="12" cy="12" r="8" stroke-dasharray="3 3.2"/>',
    "caution": '<path d="M12 3 1.8 20.5h20.4z"/><path d="M12 9.5v5M12 17.6v.2"/>',
    "carry": '<path d="M12 21V8M7 12l5-5 5 5M3 3h18"/>',
    "heat": '<path d="M12 22c-4 0-7-2.7-7-7 0-4 3-6 4-9 3 1.5 4 4 4 6 1-.7 1.5-2 1.5-3 2.5 1.5 4.5 4 4.5 7 0 3.5-3 6-7 6z"/>',
    "hand": '<path d="M7 12V6.5a1.5 1.5 0 0 1 3 0V11M10 10.5v-6a1.5 1.5 0 0 1 3 0V11M13 10.5v-5a1.5 1.5 0 0 1 3 0V12'
    'M16 11.5v-3a1.5 1.5 0 0 1 3 0V15c0 4-2.5 7-6.5 7S7 20.5 5.5 17.5L4 14.2a1.6 1.6 0 0 1 2.8-1.5L7.5 14"/>',
    "damp": '<path d="M3 9c3-3 6 3 9 0s6 3 9 0M3 15c3-3 6 3 9 0s6 3 9 0"/>',
    "lock": '<path d="M5 11h14v10H5zM8 11V7.5a4 4 0 0 1 8 0V11M12 15v2.5"/>',
    "no-signal": '<path d="M3 3l18 18M5 12.5a10 10 0 0 1 4-2.4M2 9a14 14 0 0 1 4-2.6M12 5.5A14 14 0 0 1 22 9'
    'M14.5 10.5a10 10 0 0 1 4.5 2M8.5 16a5 5 0 0 1 5.5-.8M12 19.5v.2"/>',
    "draft": '<path d="M5 5h14v14H5z" stroke-dasharray="3 3"/>',
    "clock": '<circle cx="12" cy="12" r="8.5"/><path d="M12 7v5l3.5 2.5"/>',
}


def icon(name: str, spoken: str = "") -> str:
    """SVG text of one drawing; `spoken` only where no word stands beside it. An unknown name is a KeyError."""
    voice = f'role="img" aria-label="{escape(spoken)}"' if spoken else 'aria-hidden="true"'
    return f'<svg class="icon" viewBox="0 0 24 24" {voice}>{ICONS[name]}</svg>'
