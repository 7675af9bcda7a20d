; What Inno Setup 6 makes of the folder: an installer for one user, without rights. NOT TRIED.
[Setup]
AppId=org.tapscore.tapscore
AppName=tapscore
AppVersion={#Version}
DefaultDirName={autopf}\tapscore
PrivilegesRequired=lowest
PrivilegesRequiredOverridesAllowed=dialog
DisableProgramGroupPage=yes
OutputBaseFilename=tapscore-{#Version}-windows
Compression=lzma2/max
SolidCompression=yes
ChangesAssociations=yes
ArchitecturesInstallIn64BitMode=x64compatible
LicenseFile=..\..\resources\licences\GPL-3.0.txt

[Files]
Source: "{#Source}\*"; DestDir: "{app}"; Flags: recursesubdirs ignoreversion

[Icons]
Name: "{autoprograms}\tapscore"; Filename: "{app}\tapscore-window.exe"

[Registry]
Root: HKA; Subkey: "Software\Classes\.tapscore\OpenWithProgids"; ValueType: string; ValueName: "tapscore.story"; ValueData: ""; Flags: uninsdeletevalue
Root: HKA; Subkey: "Software\Classes\tapscore.story"; ValueType: string; ValueData: "tapscore story"; Flags: uninsdeletekey
Root: HKA; Subkey: "Software\Classes\tapscore.story\DefaultIcon"; ValueType: string; ValueData: "{app}\tapscore-window.exe,0"
Root: HKA; Subkey: "Software\Classes\tapscore.story\shell\open\command"; ValueType: string; ValueData: """{app}\tapscore-window.exe"" ""%1"""
