/* Settings in messages. A room that does not know how it is run names a setting ‹unit›, by its name
 * in the table of options; where the message is shown it becomes what the reader can give: --unit.
 */
#ifndef ISW_BASE_SETTING_H
#define ISW_BASE_SETTING_H

/* Every ‹name› of text becomes --name, in place; the text gets shorter. A mark that no letter
 * follows, or that is not closed after letters and hyphens alone, stays as it is. */
void isw_base_show_settings(char *text);

#endif
