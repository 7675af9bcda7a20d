"""The file byte for byte, against the Standard MIDI Files 1.0 specification (RP-001)."""

from fractions import Fraction

from tapscore.exports import midi
from tapscore.exports.midi import click_guide
from tapscore.exports.midi_clock import TickClock, tempo_events
from tapscore.model.story import Line
from tapscore.model.tempo import Tempo
from tapscore.rhythm.perform import perform
from tests.exports.midi.midi_stories import lane, metre, story

# Worked out by hand from the specification: chunks, variable-length quantities (0x81 70 is
# 240), meta events, tempo and time signature.  Channel 10 of an instrument is 9 here.
BY_HAND = """
4D 54 68 64  00 00 00 06           ; 'MThd', six bytes follow
00 01  00 04  01 E0                ; format 1, four tracks, 480 ticks a crotchet
4D 54 72 6B  00 00 00 46           ; 'MTrk', 70 bytes: the tempo map
00 FF 03 06 41 20 74 61 6C 65      ; track name 'A tale'
00 FF 58 04 06 03 24 08            ; 6/2^3, a click each 36 clocks, 8 demisemiquavers a crotchet
00 FF 51 03 08 7A 24               ; 555 556 us a crotchet: dotted crotchet = 72
00 FF 06 10 73 65 63 74 69 6F 6E 3A 20 45 76 65 6E 69 6E 67 ; marker 'section: Evening'
00 FF 06 08 31 3A 20 52 C3 B3 6A 61 ; marker '1: R\u00f3ja', UTF-8
85 50 FF 51 03 08 7A 23            ; 720 ticks on: 555 555 us, the rounding carried
85 50 FF 2F 00                     ; end of track at 1440 ticks, one bar of 6/8
4D 54 72 6B  00 00 00 1E           ; 30 bytes: the words
00 FF 03 05 77 6F 72 64 73         ; track name 'words'
00 FF 05 04 52 C3 B3 2D            ; lyric 'R\u00f3-'
81 70 FF 05 03 6A 61 20            ; a quaver on: lyric 'ja '
89 30 FF 2F 00                     ; end, 1200 ticks on
4D 54 72 6B  00 00 00 26           ; 38 bytes: the leader's part
00 FF 03 06 6C 65 61 64 65 72      ; track name 'leader'
00 FF 01 0A 66 69 6E 67 65 72 74 69 70 73 ; text 'fingertips'
00 99 4C 33                        ; note on, percussion, high wood block (76), velocity 51
81 70 89 4C 00                     ; note off a quaver later
89 30 FF 2F 00                     ; end
4D 54 72 6B  00 00 00 20           ; 32 bytes: the clicks
00 FF 03 06 63 6C 69 63 6B 73      ; track name 'clicks'
00 99 4B 58  3C 89 4B 00           ; claves on the downbeat, 60 ticks long
85 14 99 25 40  3C 89 25 00        ; side stick on the second beat, 720 ticks after the first
85 14 FF 2F 00                     ; end
"""


def _bytes() -> bytes:
    return b"".join(bytes.fromhex(line.split(";")[0]) for line in BY_HAND.strip().splitlines())


def test_a_small_file_is_what_the_specification_says() -> None:
    told = story(Line("R\u00f3-ja", lane("Xs_...")), metre=metre("6/8"), tempo=Tempo(Fraction(72)))
    assert click_guide(told, perform(told)) == _bytes()


GENERAL_MIDI = {
    **{41: "low floor tom", 43: "high floor tom", 45: "low tom", 47: "low mid tom"},
    **{48: "high mid tom", 50: "high tom", 54: "tambourine", 56: "cowbell", 60: "high bongo"},
    **{61: "low bongo", 62: "mute high conga", 63: "open high conga", 64: "low conga"},
    **{65: "high timbale", 66: "low timbale", 67: "high agogo", 68: "low agogo", 69: "cabasa"},
    **{70: "maracas", 76: "high wood block", 77: "low wood block"},
    **{37: "side stick", 75: "claves"},
}
"""Key to sound, from the percussion map of General MIDI 1 (MIDI Association), from memory."""


def test_every_adult_has_a_sound_of_her_own_and_none_that_clicks() -> None:
    named = [GENERAL_MIDI[note] for note in midi.ROLE_NOTES]
    assert named[:2] == ["high wood block", "low wood block"]
    assert len(set(named)) == len(named) == 21
    assert GENERAL_MIDI[midi.CLICK_NOTE] == "side stick"
    assert GENERAL_MIDI[midi.CLICK_DOWNBEAT_NOTE] == "claves"
    assert {midi.CLICK_NOTE, midi.CLICK_DOWNBEAT_NOTE}.isdisjoint(midi.ROLE_NOTES)


def test_the_slowest_tempo_a_file_can_hold() -> None:
    """Three bytes of microseconds a crotchet (Standard MIDI Files 1.0): 16.777215 seconds."""
    told = story(Line("a", lane("x.x.")), tempo=Tempo(Fraction(2)))
    performance = perform(told)
    events = tempo_events(performance, TickClock(performance))
    assert {event.tempo_us for event in events} == {16_777_215}
