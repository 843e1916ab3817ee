@echo off
rem Starts Hardpan; builds it first when there is no build.
setlocal
set "HOME_DIR=%~dp0"
if not exist "%HOME_DIR%target\hardpan.jar" (
  echo hardpan: building; this is done once ... 1>&2
  pushd "%HOME_DIR%"
  call mvn --batch-mode --quiet -Dmaven.test.skip=true package 1>&2 || exit /b 3
  popd
)
if defined JAVA_HOME (set "JAVA=%JAVA_HOME%\bin\java") else (set "JAVA=java")
"%JAVA%" -Xmx320m -XX:+UseSerialGC "-Dhardpan.home=%HOME_DIR%." %HARDPAN_JAVA_OPTIONS% -jar "%HOME_DIR%target\hardpan.jar" %*
exit /b %ERRORLEVEL%
