"""The metadata packet of a PDF: title, language, and that its structure follows PDF/UA-1."""

from xml.sax.saxutils import escape

_PACKET = """<?xpacket begin="\ufeff" id="W5M0MpCehiHzreSzNTczkc9d"?>
<x:xmpmeta xmlns:x="adobe:ns:meta/">
 <rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">
  <rdf:Description rdf:about=""
    xmlns:dc="http://purl.org/dc/elements/1.1/"
    xmlns:xmp="http://ns.adobe.com/xap/1.0/"
    xmlns:pdf="http://ns.adobe.com/pdf/1.3/"
    xmlns:pdfuaid="http://www.aiim.org/pdfua/ns/id/">
   <dc:title><rdf:Alt><rdf:li xml:lang="x-default">{title}</rdf:li></rdf:Alt></dc:title>
   <dc:description><rdf:Alt><rdf:li xml:lang="x-default">{subject}</rdf:li></rdf:Alt>\
</dc:description>
   <dc:creator><rdf:Seq><rdf:li>tapscore</rdf:li></rdf:Seq></dc:creator>
   <dc:language><rdf:Bag><rdf:li>{language}</rdf:li></rdf:Bag></dc:language>
   <xmp:CreatorTool>tapscore</xmp:CreatorTool>
   <pdfuaid:part>1</pdfuaid:part>
  </rdf:Description>
 </rdf:RDF>
</x:xmpmeta>
<?xpacket end="w"?>"""


def packet(*, title: str, subject: str, language: str) -> bytes:
    """XMP (ISO 16684-1) in UTF-8; characters that XML has no way to hold are left out."""
    texts = {"title": title, "subject": subject, "language": language}
    clean = {name: escape("".join(filter(_allowed, text))) for name, text in texts.items()}
    return _PACKET.format(**clean).encode("utf-8")


def _allowed(character: str) -> bool:
    """Whether XML 1.0 may hold a character."""
    code = ord(character)
    return (
        character in "\t\n\r"
        or 0x20 <= code <= 0xD7FF
        or 0xE000 <= code <= 0xFFFD
        or (0x10000 <= code <= 0x10FFFF)
    )
