"""What the system says of a file that it does not read or write, in plain words."""

import errno
import os

from tapscore.wording.catalogue import say

_PLAIN = {
    errno.ENOENT: say("there is no such file or folder"),
    errno.EACCES: say("the computer doesn't let you"),
    errno.EPERM: say("the computer doesn't let you"),
    errno.EROFS: say("nothing may be written on this disc"),
    errno.ENOSPC: say("the disc is full"),
    errno.EDQUOT: say("the room you have on this disc is used up"),
    errno.EFBIG: say("this disc takes no file so large"),
    errno.EIO: say("the disc makes mistakes"),
    errno.ENOTDIR: say("there is a file where a folder should be"),
    errno.EISDIR: say("it is a folder"),
    errno.EEXIST: say("that name is taken"),
    errno.ENAMETOOLONG: say("the name is too long"),
    errno.ELOOP: say("the link leads in a circle"),
    errno.EBUSY: say("another program is using it"),
}


def reason(error: Exception) -> str:
    """Why, without the system's number and the path; what somebody said in its place stays."""
    if isinstance(error, UnicodeDecodeError):
        return say("it is not plain text (UTF-8)")
    if not isinstance(error, OSError) or not error.strerror:
        return str(error)
    number = error.errno or 0
    if error.strerror == os.strerror(number):
        return _PLAIN.get(number, error.strerror)
    return error.strerror
