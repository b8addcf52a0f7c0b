<#-- Written by license-maven-plugin from the licences that the libraries' own POMs state. -->
Third-party parts of Ringout
============================

Ringout itself is under the MIT licence, see LICENSE. It comes with the parts below, all unmodified but for one font. The
texts of their licences are in the folder "licenses" and, where a library brings its own, inside its jar under META-INF.

Libraries
---------

<#list dependencyMap as entry>
<#assign project = entry.getKey()/>
<#assign licenses = entry.getValue()/>
${project.artifactId} ${project.version}
    licence: <#list licenses as license>${license}<#sep> or </#list>
    from:    ${project.groupId}, ${(project.url)!"no address stated"}

</#list>
Parts inside these libraries
----------------------------

hid4java brings hidapi for every system: BSD-3-Clause (one of the three licences it offers).
jna brings libffi: MIT.
jackson-core brings FastDoubleParser and Schubfach: MIT; their notices are in the jar under META-INF.
The JavaFX libraries bring further parts; JavaFX's source, which holds their notices, is where the addresses above lead.

Fonts of the window
-------------------

Inside ringout.jar, under ringout/ui/fonts; copyright and licence: licenses/OFL-1.1.txt.

Native packages, and the zip for Windows
----------------------------------------

A part of OpenJDK ("runtime"): GPL-2.0-with-classpath-exception; the notices of each module are in runtime/legal (on macOS
runtime/Contents/Home/legal), and runtime/release tells the version, whose source is at https://openjdk.org. For Windows it
comes with Microsoft's C++ runtime (msvcp140.dll, vcruntime140.dll, vcruntime140_1.dll), as the JavaFX libraries do; these
are under Microsoft's terms for files that may be passed on with a program.
