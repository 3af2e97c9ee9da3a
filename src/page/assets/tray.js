// tray
