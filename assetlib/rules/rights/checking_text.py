"""What a buyer reads who has only the ZIP: what is in it, and how to see that it is whole and from whom."""

from __future__ import annotations

from assetlib.rules.wording import NO_LEGAL_ADVICE, one_line

_TEXT = """\
{title}, {number}
from {licensor}, {contact}

What is here
  catalogue/contact-sheet.pdf   every drawing at a glance
  images/                       each drawing twice: with its body to lay over a picture, and as its ink alone
  previews/                     the same, small, on white
  licence/licence.txt           what you may do with them
  manifest.json                 all of it for programs

Is it whole, and is it from {licensor}?
The bundle is signed with this key:

  {fingerprint}

Compare it once with the one that {licensor} tells you in another way: on a website, by phone, in a mail you
know. A key that stands only here proves nothing, since whoever made another bundle could write another key.

With assetlib (assetlib bundle verify FILE.zip --key KEY) that is one line. Without it, unpack the ZIP, open a
terminal in the folder that holds bagit.txt, and ask the tools that come with most systems:

  sha512sum --strict -c manifest-sha512.txt tagmanifest-sha512.txt
  ssh-keygen -Y verify -f data/licence/allowed-signers -I {principal} -n {namespace} \\
    -s tagmanifest-sha512.txt.sig < tagmanifest-sha512.txt

On Windows 10 and later (from memory), in PowerShell in the same folder, the first one file at a time, to be compared
with its line in manifest-sha512.txt, and the second as it stands in the Command Prompt, on one line without the \\:
  Get-FileHash -Algorithm SHA512 data\\licence\\licence.txt       or: certutil -hashfile FILE SHA512
ssh-keygen is there among the optional features as OpenSSH Client.

On a Mac the first is: shasum -a 512 -c manifest-sha512.txt, and once more with tagmanifest-sha512.txt.
The first says OK behind every file; the second says Good, and the key above. A certificate that came with the
bundle is checked in the same way: -n {for_certificates} -s FILE.json.sig < FILE.json

{no_legal_advice}
"""


def how_to_check(
    *,
    title: str,
    number: str,
    licensor: str,
    contact: str,
    fingerprint: str,
    principal: str,
    namespace: str,
    for_certificates: str,
) -> bytes:
    """The text as a file of UTF-8 with LF."""
    return _TEXT.format(
        title=one_line(title),
        number=number,
        licensor=one_line(licensor),
        contact=contact,
        fingerprint=fingerprint,
        principal=principal,
        namespace=namespace,
        for_certificates=for_certificates,
        no_legal_advice=NO_LEGAL_ADVICE,
    ).encode()
