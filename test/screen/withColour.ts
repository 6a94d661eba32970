/** Imported before the screen: its library decides about colours when it is loaded, and here no TTY would be found. */
process.env.FORCE_COLOR = '3';
