"""The five loops as x86-16 code, written by hand: bytes in hexadecimal, as the tables of that architecture print them,
and behind the bar what they say.  Places are those of layout.py; the code may lie anywhere, and it ends by running past
its end.
"""

from __future__ import annotations

LISTINGS = {
    "sieve": """
    bf 00 08        | again: mov di, data
    b9 ff 1f        |        mov cx, 8191
    c6 05 01        | 1:     mov byte [di], 1
    47              |        inc di
    49              |        dec cx
    75 f9           |        jne 1
    31 db           |        xor bx, bx
    31 c0           |        xor ax, ax
    80 bf 00 08 00  | 2:     cmp byte [bx + data], 0
    74 19           |        je 5
    89 da           |        mov dx, bx
    01 da           |        add dx, bx
    83 c2 03        |        add dx, 3
    89 de           |        mov si, bx
    eb 05           |        jmp 4
    c6 84 00 08 00  | 3:     mov byte [si + data], 0
    01 d6           | 4:     add si, dx
    81 fe ff 1f     |        cmp si, 8191
    72 f3           |        jb 3
    40              |        inc ax
    43              | 5:     inc bx
    81 fb ff 1f     |        cmp bx, 8191
    75 d9           |        jne 2
    01 06 02 04     |        add word [sum], ax
    ff 0e 00 04     |        dec word [passes]
    75 be           |        jne again
""",
    "copy": """
    ff 06 00 08     | again: inc word [data]
    be 00 08        |        mov si, data
    bf 00 28        |        mov di, second
    b9 a0 0f        |        mov cx, 4000
    8b 04           | 1:     mov ax, [si]
    89 05           |        mov [di], ax
    83 c6 02        |        add si, 2
    83 c7 02        |        add di, 2
    49              |        dec cx
    75 f3           |        jne 1
    ff 0e 00 04     |        dec word [passes]
    75 e0           |        jne again
""",
    "rmw": """
    be 00 08        | again: mov si, data
    b9 d0 07        |        mov cx, 2000
    31 d2           |        xor dx, dx
    ff 04           | 1:     inc word [si]
    8b 04           |        mov ax, [si]
    83 c6 02        |        add si, 2
    01 06 02 04     |        add word [sum], ax
    89 f3           |        mov bx, si
    d1 e3           |        shl bx, 1
    81 fb a0 1f     |        cmp bx, 8096
    75 01           |        jne 2
    42              |        inc dx
    49              | 2:     dec cx
    75 e7           |        jne 1
    01 16 04 04     |        add word [other], dx
    ff 0e 00 04     |        dec word [passes]
    75 d5           |        jne again
""",
    "mul": """
    be 00 08        | again: mov si, data
    bf 00 28        |        mov di, second
    b9 c8 00        |        mov cx, 200
    8b 04           | 1:     mov ax, [si]
    83 c6 02        |        add si, 2
    a3 06 04        |        mov word [left], ax
    8b 04           |        mov ax, [si]
    83 c6 02        |        add si, 2
    a3 08 04        |        mov word [right], ax
    e8 17 00        |        call times
    a1 04 04        |        mov ax, word [other]
    89 05           |        mov [di], ax
    83 c7 02        |        add di, 2
    01 06 02 04     |        add word [sum], ax
    49              |        dec cx
    75 de           |        jne 1
    ff 0e 00 04     |        dec word [passes]
    75 cf           |        jne again
    eb 1c           |        jmp the end
    8b 16 06 04     | times: mov dx, word [left]
    8b 1e 08 04     |        mov bx, word [right]
    31 c0           |        xor ax, ax
    f7 c3 01 00     | 6:     test bx, 1
    74 02           |        je 7
    01 d0           |        add ax, dx
    d1 e2           | 7:     shl dx, 1
    d1 eb           |        shr bx, 1
    75 f2           |        jne 6
    a3 04 04        |        mov word [other], ax
    c3              |        ret
""",
    "reg": """
    8b 16 02 04     | again: mov dx, word [sum]
    8b 36 04 04     |        mov si, word [other]
    b9 10 27        |        mov cx, 10000
    89 cb           | 1:     mov bx, cx
    d1 e3           |        shl bx, 1
    01 da           |        add dx, bx
    42              |        inc dx
    09 d6           |        or si, dx
    f7 d6           |        not si
    49              |        dec cx
    75 f2           |        jne 1
    89 16 02 04     |        mov word [sum], dx
    89 36 04 04     |        mov word [other], si
    ff 0e 00 04     |        dec word [passes]
    75 d9           |        jne again
""",
}


def code_of(listing: str) -> bytes:
    """The bytes before the bars."""
    return b"".join(bytes.fromhex(line.partition("|")[0]) for line in listing.splitlines())


CODES = {name: code_of(listing) for name, listing in LISTINGS.items()}
