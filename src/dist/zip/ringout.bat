@echo off
rem Starts Ringout with the Java in JAVA_HOME, else with the one on the path.
setlocal
set "JAVA=java.exe"
if defined JAVA_HOME set "JAVA=%JAVA_HOME%\bin\java.exe"
"%JAVA%" -version >nul 2>&1
if errorlevel 1 (
    echo ringout: there is no Java here; install Java 17 or newer, or say where it is in JAVA_HOME ^(docs\install.md^) 1>&2
    exit /b 2
)
rem JavaFX's rasterizer makes Java 24 and newer warn otherwise (JEP 498); older Javas do not know the option.
rem Ringout is soon done with most of what it does: what Java's second compiler takes, it does not give back.
"%JAVA%" -XX:TieredStopAtLevel=1 -XX:+IgnoreUnrecognizedVMOptions --sun-misc-unsafe-memory-access=allow -jar "%~dp0ringout.jar" %*
exit /b %ERRORLEVEL%
