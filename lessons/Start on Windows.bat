@echo off
rem Double-click. It looks for a Python and starts the lessons.
title From log to dry board
pushd "%~dp0"
if not exist start.py (
  echo Unpack the whole ZIP first: right-click it and choose Extract All. Then start from the unpacked folder.
  pause
  exit /b 1
)
py -3 -c "import sys" >nul 2>nul
if not errorlevel 1 (
  py -3 start.py %*
  goto ended
)
python -c "import sys" >nul 2>nul
if not errorlevel 1 (
  python start.py %*
  goto ended
)
echo The lessons need Python 3.11 or newer, and it is not on this computer yet.
echo Get it from python.org, then start again. The page first-start.md beside this file tells how.
pause
exit /b 1
:ended
if errorlevel 1 pause
