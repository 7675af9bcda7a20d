"""What the stage at which the board is introduced changes."""

from tapscore.checks.setting import Setting
from tapscore.model.comfort import Stage
from tapscore.model.finding import Severity


def stage_severity(setting: Setting) -> Severity | None:
    """Sudden loudness weighs less where only hands lie on the board; None as the rule says."""
    gentle = setting.comfort.introduce_gently
    if setting.comfort.stage is Stage.ON_A_TABLE and not gentle:
        return Severity.ADVICE
    return None
